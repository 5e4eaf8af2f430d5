import type { Server as HttpServer } from 'node:http';
import { Server, type DefaultEventsMap } from 'socket.io';
import type { BrowserToServer, LiveSnapshot, ServerToBrowser } from '../../domain/wire/live.ts';
import type { Accounts } from '../access/accounts.ts';
import { identify, isOwnOrigin } from '../access/identify.ts';
import { may } from '../access/role.ts';
import type { Emit } from './live-hub.ts';

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

/** Socket.IO on the HTTP server: signed-in pages of our own origin only, WebSocket only, one room. */
export function createPushServer(http: HttpServer, accounts: Accounts, snapshot: () => LiveSnapshot): PushServer {
  const io = new Server<BrowserToServer, ServerToBrowser, DefaultEventsMap>(http, {
    transports: ['websocket'],
    serveClient: false,
    pingInterval: PING_INTERVAL_MS,
    pingTimeout: PING_TIMEOUT_MS,
    maxHttpBufferSize: MAX_MESSAGE_BYTES,
    // The library's own CORS setting does not stop a foreign page from opening a WebSocket; this does.
    allowRequest: (request, decide) => {
      const identity = isOwnOrigin(request.headers) ? identify(accounts, request.headers) : null;
      decide(null, identity !== null && may(identity.role, 'watch'));
    },
  });
  io.on('connection', (socket) => {
    let answeredAt = performance.now();
    let waiting: NodeJS.Timeout | null = null;
    const answer = (): void => {
      waiting = null;
      answeredAt = performance.now();
      socket.emit('snapshot', snapshot());
    };
    answer();
    socket.on('resync', () => {
      waiting ??= setTimeout(answer, Math.max(0, RESYNC_EVERY_MS - (performance.now() - answeredAt)));
    });
    const recheck = setInterval(() => {
      if (!identify(accounts, socket.request.headers)) socket.disconnect(true);
    }, RECHECK_MS);
    socket.on('disconnect', () => {
      clearInterval(recheck);
      if (waiting) clearTimeout(waiting);
    });
  });
  const emit: Emit = (event, message, options) => {
    const to = options?.volatile ? io.volatile : io;
    (to.emit as (name: string, body: unknown) => boolean)(event, message);
  };
  return { emit, connected: () => io.sockets.sockets.size, stop: () => io.close() };
}
