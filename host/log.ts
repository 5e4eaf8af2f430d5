import { type DestinationStream, type Logger, pino } from 'pino';

export type Log = Logger;

/** Structured lines on stderr, so that stdout stays for answers. Secrets are redacted wherever they are named as such. */
export function createLog(level: string, destination: DestinationStream = pino.destination(2)): Log {
  return pino(
    { level, base: null, timestamp: pino.stdTimeFunctions.isoTime, redact: { paths: ['password', '*.password', 'token', '*.token', 'req.headers.cookie', 'req.headers.authorization'], censor: '[redacted]' } },
    destination,
  );
}
