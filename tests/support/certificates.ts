import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';

export interface Certificates {
  /** PEM of the authority. */
  readonly ca: string;
  readonly cert: string;
  readonly key: string;
}

/** An authority of the test's own and a certificate for `host`, made with openssl; as files in `dir`. */
export function makeCertificates(dir: string, host = '127.0.0.1', days = 90): Certificates {
  const at = (name: string): string => join(dir, name);
  const openssl = (...args: string[]): void => void execFileSync('openssl', args, { stdio: 'pipe' });
  const newKey = ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes'];
  openssl('req', '-x509', ...newKey, '-keyout', at('ca.key'), '-out', at('ca.pem'), '-days', '365', '-subj', '/CN=Test authority');
  openssl('req', ...newKey, '-keyout', at('server.key'), '-out', at('server.csr'), '-subj', `/CN=${host}`);
  writeFileSync(at('server.ext'), `subjectAltName=${/^[\d.]+$/.test(host) ? 'IP' : 'DNS'}:${host}\n`);
  openssl('x509', '-req', '-in', at('server.csr'), '-CA', at('ca.pem'), '-CAkey', at('ca.key'), '-CAcreateserial', '-out', at('server.pem'), '-days', String(days), '-extfile', at('server.ext'));
  return { ca: at('ca.pem'), cert: at('server.pem'), key: at('server.key') };
}
