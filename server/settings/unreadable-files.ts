import { accessSync, constants } from 'node:fs';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { ConfigProblem } from '../../domain/wire/site-yaml.ts';

/** Files that a configuration names and that can't be read here: found before it is written, not when the program next starts. */
export function unreadableFiles({ mqtt, listen, uplinks, openId, notify }: SiteConfig): ConfigProblem[] {
  const named: [ConfigProblem['path'], string | null | undefined][] = [
    [['mqtt', 'password-file'], mqtt?.passwordFile],
    [['mqtt', 'ca-file'], mqtt?.caFile],
    [['mqtt', 'tls-cert'], listen?.certFile],
    [['mqtt', 'tls-key'], listen?.keyFile],
    [['open-id', 'client-secret-file'], openId?.clientSecretFile],
    [['notify', 'ca-file'], notify?.caFile],
    [['notify', 'smtp', 'password-file'], notify?.smtp?.passwordFile],
  ];
  uplinks.forEach(({ tokenFile, caFile }, index) => named.push([['uplinks', index, 'token-file'], tokenFile], [['uplinks', index, 'ca-file'], caFile]));
  notify?.webhooks.forEach(({ secretFile }, index) => named.push([['notify', 'webhooks', index, 'secret-file'], secretFile]));
  return named.flatMap(([path, file]) => {
    const why = file === null || file === undefined ? null : whyUnreadable(file);
    return why === null ? [] : [{ path, message: `expected a file that the server can read: ${why}` }];
  });
}

function whyUnreadable(file: string): string | null {
  try {
    accessSync(file, constants.R_OK);
    return null;
  } catch (error) {
    return (error as Error).message;
  }
}
