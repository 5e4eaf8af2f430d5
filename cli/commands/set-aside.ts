import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { Command } from 'commander';
import { listSetAside } from '../../gateway/outbox/set-aside.ts';
import { OUTBOX_FILE } from '../../gateway/gateway.ts';
import { openOutboxDatabase } from '../../gateway/outbox/outbox-database.ts';
import { UserError } from '../../host/user-error.ts';
import { gatewayDataFlag } from '../flags.ts';

/** `potside set-aside`: the readings that a server would not take, one line of JSON each. */
export function setAsideCommand(): Command {
  return new Command('set-aside')
    .description('print the readings that a server refused as not well-formed, with its words, one line of JSON each')
    .addOption(gatewayDataFlag())
    .addHelpText('after', '\nThe gateway may run meanwhile. Example:\n  potside set-aside --data DIR\n')
    .action(({ data }: { readonly data: string }) => {
      const file = join(data, OUTBOX_FILE);
      if (!existsSync(file)) throw new UserError(`${file}: there is no outbox; --data names the gateway’s data directory`);
      const { sqlite } = openOutboxDatabase(file);
      for (const { uplink, atMs, reason, reading } of listSetAside(sqlite)) process.stdout.write(`${JSON.stringify({ uplink, at: new Date(atMs).toISOString(), reason, reading })}\n`);
      sqlite.close();
    });
}
