import { io, type Socket } from 'socket.io-client';
import { type BrowserToServer, LIVE_PROTOCOL, type ServerToBrowser } from '../../domain/wire/live.ts';
import { NOTHING_YET, type LiveState, fromSnapshot, withAlarms, withPoints, withSites } from '../store/live-state.ts';
import type { Store } from '../store/store.ts';
import { LINK_DEAD_MS } from './link-state.ts';
import { type Following, type LinkEvent, type LinkEffect, WAITING, nextFollowing } from './resync.ts';
import { type ServerClock, nextClock } from './server-clock.ts';

/** What is known of the link itself; ages are taken against `frameAtMs` on the monotonic clock. */
export interface LinkFeed {
  readonly following: Following;
  readonly clock: ServerClock | null;
  readonly frameAtMs: number | null;
  readonly openedAtMs: number;
  /** Counts the times a snapshot followed a hole too long for the live end of history to bridge: it has to be fetched anew. */
  readonly holes: number;
  /** The server speaks another version of the protocol than this page. */
  readonly isOutdated: boolean;
}

export function initialFeed(monotonicMs: number): LinkFeed {
  return { following: WAITING, clock: null, frameAtMs: null, openedAtMs: monotonicMs, holes: 0, isOutdated: false };
}

export interface LiveLinkParts {
  readonly live: Store<LiveState>;
  readonly feed: Store<LinkFeed>;
  readonly now: () => number;
  /** Something was taken in that must not wait for the screen's pace: alarms, a snapshot, the sites. */
  readonly onUrgent: () => void;
  /** The connection was refused or cut by the server: perhaps nobody is signed in any more. */
  readonly onDoubt: () => void;
  /** What to show until the server speaks, and how old it is; nothing where none is given. */
  readonly start?: { readonly live: LiveState; readonly feed: LinkFeed } | undefined;
}

export interface LiveLink {
  /** Call when what happened since the last frame can't be known: a hidden tab shown again, a machine woken up. */
  distrust(): void;
  close(): void;
}

const ASK_AGAIN_MS = 2_000;
/** A server greets a new connection with a snapshot by itself; only one that doesn't is asked. */
const GREETING_MS = 1_000;
/** Missing less than this, history goes on from what comes live. */
const HOLE_MS = 5_000;

interface Push {
  readonly boot: string;
  readonly revision: number;
  readonly serverNowMs: number;
}

/** Opens the socket and keeps the two stores in step with the server. The only file that knows of Socket.IO. */
export function openLiveLink({ live, feed, now, onUrgent, onDoubt, start }: LiveLinkParts): LiveLink {
  const socket: Socket<ServerToBrowser, BrowserToServer> = io({
    transports: ['websocket'],
    reconnectionDelay: 300,
    reconnectionDelayMax: 3_000,
    // All pages of a site come back at once after a restart: spread them.
    randomizationFactor: 0.7,
  });
  live.set(start?.live ?? NOTHING_YET);
  feed.set(start?.feed ?? initialFeed(now()));
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
    if (effect === 'expect-snapshot') setTimeout(() => feed.get().following.state !== 'following' && ask(), GREETING_MS);
    return effect;
  };

  const hear = (serverNowMs: number): void => {
    const atMs = now();
    feed.update((f) => ({ ...f, frameAtMs: atMs, clock: nextClock(f.clock, serverNowMs, atMs) }));
  };

  const wasSilent = (): boolean => {
    const { following, frameAtMs } = feed.get();
    return following.state === 'following' && frameAtMs !== null && now() - frameAtMs > LINK_DEAD_MS;
  };

  const take = <P extends Push>(push: P, change: (state: LiveState, push: P) => LiveState): LinkEffect => {
    // What comes after a silence may have waited on the way, as while this machine stood still: only a snapshot asked for now is of now.
    if (wasSilent()) step({ kind: 'distrust' });
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
    if (reason !== 'io server disconnect') return;
    // Sent away on purpose, as when a session has ended: the client would never come back by itself.
    onDoubt();
    setTimeout(() => socket.connect(), ASK_AGAIN_MS);
  });
  // A refused handshake looks to the browser like any failed WebSocket: whether it was the session, only the API can say.
  socket.on('connect_error', onDoubt);
  socket.on('snapshot', (snapshot) => {
    const before = feed.get();
    const isHole = before.frameAtMs === null || now() - before.frameAtMs > HOLE_MS || (before.following.state !== 'waiting' && before.following.boot !== snapshot.boot);
    step({ kind: 'snapshot', boot: snapshot.boot, revision: snapshot.revision });
    feed.update((f) => ({ ...f, clock: null, holes: f.holes + (isHole ? 1 : 0), isOutdated: snapshot.protocol !== LIVE_PROTOCOL }));
    live.set(fromSnapshot(snapshot));
    hear(snapshot.serverNowMs);
    onUrgent();
  });
  socket.on('live', (update) => void take(update, withPoints));
  socket.on('alarms', (push) => takeUrgent(push, withAlarms));
  socket.on('sites', (push) => takeUrgent(push, withSites));

  return {
    distrust: () => void step({ kind: 'distrust' }),
    close() {
      socket.off();
      socket.disconnect();
    },
  };
}
