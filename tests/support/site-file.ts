import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { SiteFile } from '../../host/site-file.ts';

/** A configuration on the disk, as the program reads and writes it. */
export function siteFile(yaml: string, dataDir: string, name = 'site.yaml'): SiteFile {
  const path = join(dataDir, name);
  writeFileSync(path, yaml);
  return new SiteFile(path, dataDir);
}
