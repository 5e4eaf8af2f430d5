#!/usr/bin/env node
import { Command } from 'commander';
import { boundHeap } from '../host/bound-heap.ts';
import { packageVersion } from '../host/package-root.ts';
import { UserError } from '../host/user-error.ts';

/** Only the command that is asked for is loaded: a gateway waits for no server's libraries, and a password is set in a moment. */
const COMMANDS: Readonly<Record<string, () => Promise<Command>>> = {
  calc: async () => (await import('./calc/calc-command.ts')).calcCommand(),
  demo: async () => (await import('./commands/demo.ts')).demoCommand(),
  serve: async () => (await import('./commands/serve.ts')).serveCommand(),
  gateway: async () => (await import('./commands/gateway.ts')).gatewayCommand(),
  server: async () => (await import('./commands/server.ts')).serverCommand(),
  device: async () => (await import('./commands/device.ts')).deviceCommand(),
  'set-aside': async () => (await import('./commands/set-aside.ts')).setAsideCommand(),
  simulate: async () => (await import('./commands/simulate.ts')).simulateCommand(),
  user: async () => (await import('./commands/accounts.ts')).userCommand(),
  token: async () => (await import('./commands/accounts.ts')).tokenCommand(),
  audit: async () => (await import('./commands/accounts.ts')).auditCommand(),
  replay: async () => (await import('./commands/replay.ts')).replayCommand(),
  backup: async () => (await import('./commands/backup.ts')).backupCommand(),
  restore: async () => (await import('./commands/backup.ts')).restoreCommand(),
  key: async () => (await import('./commands/verify.ts')).keyCommand(),
  verify: async () => (await import('./commands/verify.ts')).verifyCommand(),
};

boundHeap();
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
const asked = COMMANDS[process.argv[2] ?? ''];
for (const load of asked ? [asked] : Object.values(COMMANDS)) program.addCommand(await load());

try {
  await program.parseAsync();
} catch (error) {
  if (!(error instanceof UserError || error instanceof RangeError)) throw error;
  process.stderr.write(`potside: ${error.message}\n`);
  process.exitCode = 2;
}
