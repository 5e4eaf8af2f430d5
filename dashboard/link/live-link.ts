import { io, type Socket } from 'socket.io-client';
import { type BrowserToServer, LIVE_PROTOCOL, type ServerToBrowser } from '../../domain/wire/live.ts';
import { NOTHING_YET, type LiveState, fromSnapshot, withAlarms, withPoints, withSites } from '../store/live-state.ts';
import type { Store } from '../store/store.ts';
import { type Following, type LinkEvent, type LinkEffect, WAITING, nextFollowing } from './resync.ts';
import { type ServerClock, nextClock } from './server-clock.ts';

/** What is known of the link itself; ages are taken against `frameAtMs` on the monotonic clock. */
export interface LinkFeed {
  readonly following: Following;
  readonly clock: ServerClock | null;
  readonly frameAtMs: number | null;
  readonly openedAtMs: number;
  /** Counts snapshots: history has to be fetched anew after each. */
  readonly snapshots: number;
  /** The server speaks another version of the protocol than this page. */
  readonly isOutdated: boolean;
}

export function initialFeed(monotonicMs: number): LinkFeed {
  return { following: WAITING, clock: null, frameAtMs: null, openedAtMs: monotonicMs, snapshots: 0, isOutdated: false };
}

export interface LiveLinkParts {
  readonly live: Store<LiveState>;
  readonly feed: Store<LinkFeed>;
  readonly now: () => number;
  /** Something was taken in that must not wait for the screen's pace: alarms, a snapshot, the sites. */
  readonly onUrgent: () => void;
  /** The server refused the session. */
  readonly onRefused: () => void;
}

export interface LiveLink {
  /** Call when what happened since the last frame can't be known: a hidden tab shown again, a machine woken up. */
  distrust(): void;
  close(): void;
}

const ASK_AGAIN_MS = 2_000;

interface Push {
  readonly boot: string;
  readonly revision: number;
  readonly serverNowMs: number;
}

/** Opens the socket and keeps the two stores in step with the server. The only file that knows of Socket.IO. */
export function openLiveLink({ live, feed, now, onUrgent, onRefused }: LiveLinkParts): LiveLink {
  const socket: Socket<ServerToBrowser, BrowserToServer> = io({
    transports: ['websocket'],
    reconnectionDelay: 300,
    reconnectionDelayMax: 3_000,
    // All pages of a site come back at once after a restart: spread them.
    randomizationFactor: 0.7,
  });
  live.set(NOTHING_YET);
  feed.set(initialFeed(now()));
  let askedAtMs = -Infinity;

  const ask = (): void => {
    // Never buffered: an old question sent later would be answered for nothing.
    if (!socket.connected) return;
    askedAtMs = now();
    socket.emit('resync');
  };

  const step = (event: LinkEvent): LinkEffect => {
    const { next, effect } = nextFollowing(feed.get().following, event);
    feed.update((f) => ({ ...f, following: next }));
    if (effect === 'ask-resync') ask();
    return effect;
  };

  const hear = (serverNowMs: number): void => {
    const atMs = now();
    feed.update((f) => ({ ...f, frameAtMs: atMs, clock: nextClock(f.clock, serverNowMs, atMs) }));
  };

  const take = <P extends Push>(push: P, change: (state: LiveState, push: P) => LiveState): LinkEffect => {
    const effect = step({ kind: 'push', boot: push.boot, revision: push.revision });
    if (effect === 'apply') live.update((state) => change(state, push));
    if (effect === 'apply' || effect === 'sign-of-life') hear(push.serverNowMs);
    else if (feed.get().following.state === 'catching-up' && now() - askedAtMs > ASK_AGAIN_MS) ask();
    return effect;
  };
  const takeUrgent = <P extends Push>(push: P, change: (state: LiveState, push: P) => LiveState): void => {
    if (take(push, change) === 'apply') onUrgent();
  };

  socket.on('connect', () => step({ kind: 'connected' }));
  socket.on('disconnect', (reason) => {
    step({ kind: 'disconnected' });
    // Sent away on purpose (signed out elsewhere, server told to): the client would never come back by itself.
    if (reason === 'io server disconnect') socket.connect();
  });
  socket.on('connect_error', (error) => {
    if (socket.active) return;
    // The handshake was refused by the server, not by the network.
    if (/unauthori[sz]ed|sign|401/i.test(error.message)) onRefused();
    else setTimeout(() => socket.connect(), ASK_AGAIN_MS);
  });
  socket.on('snapshot', (snapshot) => {
    step({ kind: 'snapshot', boot: snapshot.boot, revision: snapshot.revision });
    feed.update((f) => ({ ...f, clock: null, snapshots: f.snapshots + 1, isOutdated: snapshot.protocol !== LIVE_PROTOCOL }));
    live.set(fromSnapshot(snapshot));
    hear(snapshot.serverNowMs);
    onUrgent();
  });
  socket.on('live', (update) => void take(update, withPoints));
  socket.on('alarms', (push) => takeUrgent(push, withAlarms));
  socket.on('sites', (push) => takeUrgent(push, withSites));

  return {
    distrust: () => void step({ kind: 'distrust' }),
    close: () => void socket.disconnect(),
  };
}
