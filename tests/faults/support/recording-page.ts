import { io, type Socket } from 'socket.io-client';
import { judgeLink, isLive } from '../../../dashboard/link/link-state.ts';
import { nextFollowing, WAITING, type Following } from '../../../dashboard/link/resync.ts';
import type { BrowserToServer, LivePoint, ServerToBrowser } from '../../../domain/wire/live.ts';

const LOOK_MS = 100;

/** A page that keeps what it would have shown, by the dashboard's own rules, and finds what was shown as live though it was old. */
export class RecordingPage {
  readonly oldShownAsLive: { readonly point: string; readonly ageMs: number }[] = [];
  looks = 0;
  looksLive = 0;
  #following: Following = WAITING;
  #frameAt: number | null = null;
  readonly #points = new Map<string, LivePoint>();
  readonly #socket: Socket<ServerToBrowser, BrowserToServer>;
  readonly #timer: NodeJS.Timeout;

  /** `oldAfterMs`: a good value of CO observed longer ago than this must not be shown as live. */
  constructor(url: string, cookie: string, oldAfterMs: number) {
    const openedAt = performance.now();
    this.#socket = io(url, { transports: ['websocket'], extraHeaders: { cookie }, reconnectionDelay: 100, reconnectionDelayMax: 500 });
    const step = (event: Parameters<typeof nextFollowing>[1], points: readonly LivePoint[]): void => {
      const { next, effect } = nextFollowing(this.#following, event);
      this.#following = next;
      if (effect === 'ask-resync' && this.#socket.connected) this.#socket.emit('resync');
      if (effect !== 'none') this.#frameAt = performance.now();
      if (effect !== 'apply') return;
      for (const point of points) this.#points.set(`${point.owner}/${point.id}`, point);
    };
    this.#socket.on('snapshot', ({ boot, revision, points }) => step({ kind: 'snapshot', boot, revision }, points));
    this.#socket.on('live', ({ boot, revision, points }) => step({ kind: 'push', boot, revision }, points));
    this.#socket.on('alarms', ({ boot, revision }) => step({ kind: 'push', boot, revision }, []));
    this.#socket.on('sites', ({ boot, revision }) => step({ kind: 'push', boot, revision }, []));
    this.#socket.on('disconnect', () => step({ kind: 'disconnected' }, []));
    this.#timer = setInterval(() => {
      const now = performance.now();
      this.looks += 1;
      const link = judgeLink({ following: this.#following, sinceOpenMs: now - openedAt, frameAgeMs: this.#frameAt === null ? null : now - this.#frameAt, gatewayAgeMs: null, silentSensors: 0, oldestMs: null });
      if (!isLive(link)) return;
      this.looksLive += 1;
      for (const [key, { id, quality, atMs }] of this.#points) {
        if (id === 'breathing-air-co' && quality === 'good' && atMs !== null && Date.now() - atMs > oldAfterMs) this.oldShownAsLive.push({ point: key, ageMs: Date.now() - atMs });
      }
    }, LOOK_MS);
  }

  close(): void {
    clearInterval(this.#timer);
    this.#socket.disconnect();
  }
}
