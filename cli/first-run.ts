import { join } from 'node:path';
import { wallClock } from '../host/clock.ts';
import { lockDataDir } from '../host/lock-data-dir.ts';
import type { Log } from '../host/log.ts';
import { packageRoot, packageVersion } from '../host/package-root.ts';
import type { SiteFile } from '../host/site-file.ts';
import { type PotsideServer, type ServerOptions, startServer } from '../server/server.ts';
import { createDemonstration } from './demonstration/run-demonstration.ts';

export interface FirstRunOptions {
  readonly dataDir: string;
  readonly database: string | null;
  readonly host: string;
  readonly port: number;
  readonly tls: NonNullable<ServerOptions['tls']> | null;
  readonly trustProxy: readonly string[] | null;
  readonly log: Log;
  /** Where the first site will be written. */
  readonly file: SiteFile;
  /** Called once it is. */
  readonly onSite: () => void;
}

/** A Potside that has no site yet: the page, people, and the way to the first site. Nothing is listened to and nothing recorded. */
export async function startFirstRun({ dataDir, file, onSite, ...options }: FirstRunOptions): Promise<{ readonly server: PotsideServer; stop(): Promise<void> }> {
  const unlock = lockDataDir(dataDir);
  const demonstration = createDemonstration(options.log);
  try {
    const server = await startServer({
      ...options,
      demonstration,
      sites: [],
      dataDir,
      demo: false,
      version: packageVersion(),
      dashboardDir: join(packageRoot(), 'dist', 'dashboard'),
      makeClock: wallClock,
      gateway: { refusals: () => null, gatewayStatus: () => null },
      settings: { files: new Map(), first: file, onChanged: () => undefined, restart: onSite },
    });
    return {
      server,
      stop: async () => {
        // Both take their time to close.
        await Promise.all([demonstration.stop(), server.stop()]);
        unlock();
      },
    };
  } catch (error) {
    unlock();
    throw error;
  }
}
