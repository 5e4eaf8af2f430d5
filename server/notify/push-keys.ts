import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import webPush from 'web-push';

/** The server's key pair for Web Push (RFC 8292). */
export interface PushKeys {
  readonly publicKey: string;
  readonly privateKey: string;
}

/** Made at the first start and kept: browsers subscribe to this key and no other. */
export function pushKeys(dataDir: string): PushKeys {
  const file = join(dataDir, 'web-push.json');
  if (!existsSync(file)) writeFileSync(file, `${JSON.stringify(webPush.generateVAPIDKeys())}\n`, { mode: 0o600, flag: 'wx' });
  return JSON.parse(readFileSync(file, 'utf8')) as PushKeys;
}
