import { join } from 'node:path';
import { text } from 'node:stream/consumers';
import { Command, Option } from 'commander';
import { DeviceAccounts } from '../../gateway/broker/device-accounts.ts';
import { DEVICES_FILE } from '../../gateway/gateway.ts';
import { UserError } from '../../host/user-error.ts';
import { dataFlag } from '../flags.ts';

interface Flags {
  readonly data: string;
  readonly topics?: readonly string[];
  readonly read?: readonly string[];
  readonly passwordStdin?: true;
}

const filters = (list: string): string[] => list.split(',').map((one) => one.trim());

/** `potside device`: what may connect to the embedded broker, and to which topics. Works beside a running gateway. */
export function deviceCommand(): Command {
  const device = new Command('device').description('the devices that may connect to the embedded broker');
  device
    .command('add <name>')
    .description('add a device, or give one new topics and a new password; from the first one on nobody connects without an account')
    .addOption(new Option('--topics <filters>', 'what it may publish to, separated by commas; + and # as in MQTT').argParser(filters))
    .addOption(new Option('--read <filters>', 'what it may subscribe to; nothing without it').argParser(filters))
    .addOption(dataFlag())
    .option('--password-stdin', 'read the password from standard input')
    .addHelpText('after', '\nExample:\n  potside device add pt-101 --topics potside/quay-4/rig-a/supply-pressure --password-stdin < pt-101.secret\n  potside device add horn-a --read potside/quay-4/beacon --password-stdin < horn-a.secret\n')
    .action(async (name: string, { data, topics = [], read = [], passwordStdin }: Flags) => {
      if (!passwordStdin) throw new UserError('give the password on standard input with --password-stdin: on the command line others could read it');
      if (topics.length + read.length === 0) throw new UserError('say with --topics what it may publish to, or with --read what it may subscribe to');
      await new DeviceAccounts(join(data, DEVICES_FILE)).add(name, (await text(process.stdin)).replace(/\r?\n$/, ''), { write: topics, read });
      process.stdout.write(`${name} may publish to ${topics.join(', ') || 'nothing'} and subscribe to ${read.join(', ') || 'nothing'}\n`);
    });
  device
    .command('list')
    .description('every device, with what it may publish and subscribe to')
    .addOption(dataFlag())
    .action(({ data }: Flags) => {
      for (const { name, write, read } of new DeviceAccounts(join(data, DEVICES_FILE)).list()) process.stdout.write(`${name}\t${write.join(',')}\t${read.join(',')}\n`);
    });
  device
    .command('remove <name>')
    .description('refuse a device from its next connection on')
    .addOption(dataFlag())
    .action((name: string, { data }: Flags) => new DeviceAccounts(join(data, DEVICES_FILE)).remove(name));
  return device;
}
