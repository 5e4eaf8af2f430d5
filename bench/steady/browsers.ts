import { io, type Socket } from 'socket.io-client';

/**
 * A process of its own: so many pages' sockets on one server, until its input ends. Prints a line once all are connected, and at the end
 * what each heard of `live` in the mean: `browsers.js <url> <bearer token or -> <sockets>`.
 */
const [, , url = '', token = '-', count = '200'] = process.argv;
let messages = 0;
const sockets = await Promise.all(
  Array.from({ length: Number(count) }, () => {
    // Each a connection of its own, as of a browser of its own.
    const socket: Socket = io(url, { transports: ['websocket'], forceNew: true, ...(token === '-' ? {} : { extraHeaders: { authorization: `Bearer ${token}` } }) });
    socket.on('live', () => (messages += 1));
    return new Promise<Socket>((resolve) => socket.once('connect', () => resolve(socket)));
  }),
);
process.stdout.write('connected\n');
let begun = performance.now();
process.stdin.on('data', () => {
  // Counting begins anew.
  messages = 0;
  begun = performance.now();
});
process.stdin.on('end', () => {
  process.stdout.write(`${JSON.stringify({ messagesPerSecond: messages / sockets.length / ((performance.now() - begun) / 1000) })}\n`);
  process.exit(0);
});
