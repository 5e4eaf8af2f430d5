import { readFileSync } from 'node:fs';
import { UserError } from '../host/user-error.ts';

/** The certificate and its key, as their flags name them; null for neither. @throws UserError for one alone or a file that can't be read */
export function readTls({ tlsCert, tlsKey }: { readonly tlsCert?: string; readonly tlsKey?: string }): { cert: string; key: string } | null {
  if (tlsCert === undefined && tlsKey === undefined) return null;
  if (tlsCert === undefined || tlsKey === undefined) throw new UserError('--tls-cert and --tls-key go together: the one is missing');
  const read = (flag: string, file: string): string => {
    try {
      return readFileSync(file, 'utf8');
    } catch (error) {
      throw new UserError(`${flag}: can't read ${file}: ${(error as Error).message}`);
    }
  };
  return { cert: read('--tls-cert', tlsCert), key: read('--tls-key', tlsKey) };
}
