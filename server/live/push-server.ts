import type { IncomingHttpHeaders, Server as HttpServer } from 'node:http';
import { Server, type DefaultEventsMap } from 'socket.io';
import type { BrowserToServer, ServerToBrowser } from '../../domain/wire/live.ts';
import type { Accounts } from '../access/accounts.ts';
import { type CookieNames, identify, isOwnOrigin } from '../access/identify.ts';
import type { Identity } from '../access/identity.ts';
import { may } from '../access/role.ts';
import type { Emit, LiveHub } from './live-hub.ts';

/** A page that says nothing for so long is gone; it notices a frozen server as fast. */
const PING_INTERVAL_MS = 2_000;
const PING_TIMEOUT_MS = 3_000;
/** Largest message taken from a browser: it only ever asks for a snapshot. */
const MAX_MESSAGE_BYTES = 4_096;
/** A browser may ask for a snapshot this often; one that asks more often waits. */
const RESYNC_EVERY_MS = 250;
/** How often sessions of connected pages are checked again. */
const RECHECK_MS = 5_000;

export interface PushServer {
  readonly emit: Emit;
  connected(): number;
  stop(): Promise<void>;
}

/** Who this connection is for: as judged when it was opened. What changes that, ends it. */
interface SocketData {
  identity: Identity;
}

/** Socket.IO on the HTTP server: signed-in pages of our own origin only, WebSocket only, a room for each set of sites. */
export function createPushServer(http: HttpServer, accounts: Accounts, cookies: CookieNames, hub: Pick<LiveHub, 'join' | 'snapshot'>): PushServer {
  const identityOf = async (headers: IncomingHttpHeaders): Promise<Identity | null> => {
    const identity = await identify(accounts, cookies, headers);
    return identity && may(identity.role, 'watch') ? identity : null;
  };
  const io = new Server<BrowserToServer, ServerToBrowser, DefaultEventsMap, SocketData>(http, {
    transports: ['websocket'],
    serveClient: false,
    pingInterval: PING_INTERVAL_MS,
    pingTimeout: PING_TIMEOUT_MS,
    maxHttpBufferSize: MAX_MESSAGE_BYTES,
    // The library's own CORS setting does not stop a foreign page from opening a WebSocket; this does.
    allowRequest: (request, decide) => {
      if (!isOwnOrigin(request.headers)) return decide(null, false);
      identityOf(request.headers).then(
        (identity) => decide(null, identity !== null),
        () => decide('the accounts can’t be read', false),
      );
    },
  });
  io.use((socket, next) => {
    identityOf(socket.request.headers).then((identity) => {
      if (!identity) return next(new Error('not signed in'));
      socket.data.identity = identity;
      next();
    }, next);
  });
  io.on('connection', (socket) => {
    const { key, sites, role } = socket.data.identity;
    let answeredAt = performance.now();
    let waiting: NodeJS.Timeout | null = null;
    const answer = (): void => {
      waiting = null;
      answeredAt = performance.now();
      socket.emit('snapshot', hub.snapshot(sites));
    };
    void socket.join([hub.join(sites), keyRoom(key)]);
    answer();
    socket.on('resync', () => {
      waiting ??= setTimeout(answer, Math.max(0, RESYNC_EVERY_MS - (performance.now() - answeredAt)));
    });
    const stays = async (): Promise<boolean> => {
      const now = await identityOf(socket.request.headers);
      return now?.key === key && now.role === role && String(now.sites) === String(sites);
    };
    const recheck = setInterval(() => {
      stays().then(
        (isSame) => isSame || socket.disconnect(true),
        // Accounts that can't be read now say nothing against who was let in.
        () => undefined,
      );
    }, RECHECK_MS);
    socket.on('disconnect', () => {
      clearInterval(recheck);
      if (waiting) clearTimeout(waiting);
    });
  });
  // What ended in this process closes its pages now; what another one ended, at the next look.
  const unlisten = accounts.onEnded((keys) => {
    for (const key of keys) io.in(keyRoom(key)).disconnectSockets(true);
  });
  const emit: Emit = (room, event, message, options) => {
    const to = options?.volatile ? io.to(room).volatile : io.to(room);
    (to.emit as (name: string, body: unknown) => boolean)(event, message);
  };
  return {
    emit,
    connected: () => io.sockets.sockets.size,
    stop: () => {
      unlisten();
      return io.close();
    },
  };
}

/** No site can have this name: sites' rooms begin otherwise. */
function keyRoom(key: string): string {
  return `signed in by ${key}`;
}
