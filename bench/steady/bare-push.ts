import { readFileSync } from 'node:fs';
import { createServer } from 'node:http';
import { Server } from 'socket.io';

/** The floor of pushing: messages of a file, one after the other, four times a second to everybody who is connected, and nothing else. */
const messages = JSON.parse(readFileSync(process.argv[2] ?? '', 'utf8')) as readonly unknown[];
const http = createServer();
const io = new Server(http, { transports: ['websocket'], serveClient: false });
let next = 0;
setInterval(() => io.volatile.emit('live', messages[next++ % messages.length]), 250);
http.listen(0, '127.0.0.1', () => process.stdout.write(`${JSON.stringify({ url: `http://127.0.0.1:${(http.address() as { port: number }).port}`, mqtt: '' })}\n`));
