#!/usr/bin/env node
import { Command } from 'commander';
import { packageVersion } from '../host/package-root.ts';
import { UserError } from '../host/user-error.ts';
import { auditCommand, tokenCommand, userCommand } from './commands/accounts.ts';
import { calcCommand } from './calc/calc-command.ts';
import { backupCommand, restoreCommand } from './commands/backup.ts';
import { deviceCommand } from './commands/device.ts';
import { demoCommand } from './commands/demo.ts';
import { gatewayCommand } from './commands/gateway.ts';
import { replayCommand } from './commands/replay.ts';
import { serveCommand } from './commands/serve.ts';
import { setAsideCommand } from './commands/set-aside.ts';
import { serverCommand } from './commands/server.ts';
import { simulateCommand } from './commands/simulate.ts';
import { keyCommand, verifyCommand } from './commands/verify.ts';

const program = new Command('potside')
  .description('The pot tender’s second pair of eyes: watches an abrasive-blasting air line, computes what its readings mean, raises alarms and records the shift.')
  .version(packageVersion())
  .showHelpAfterError('(potside --help shows the commands)')
  .addHelpText(
    'after',
    `
Start here:
  potside demo                       a simulated site, to look at; nothing to set up
  potside serve --config site.yaml   a site for real
  potside user add NAME --role supervisor --password-stdin

Potside monitors and advises; it controls nothing. It is no substitute for the CO alarm, the deadman or a competent
person. Local codes, the equipment's manuals and licensed practice come first.`,
  );
for (const command of [calcCommand(), demoCommand(), serveCommand(), gatewayCommand(), serverCommand(), deviceCommand(), setAsideCommand(), simulateCommand(), userCommand(), tokenCommand(), auditCommand(), replayCommand(), backupCommand(), restoreCommand(), keyCommand(), verifyCommand()]) program.addCommand(command);

try {
  await program.parseAsync();
} catch (error) {
  if (!(error instanceof UserError || error instanceof RangeError)) throw error;
  process.stderr.write(`potside: ${error.message}\n`);
  process.exitCode = 2;
}
