import { mkdirSync } from 'node:fs';
import { text } from 'node:stream/consumers';
import { Command, InvalidArgumentError, Option } from 'commander';
import { z } from 'zod';
import { wallClock } from '../../host/clock.ts';
import { UserError } from '../../host/user-error.ts';
import { Accounts } from '../../server/access/accounts.ts';
import { CONSOLE } from '../../server/access/identity.ts';
import { ROLES, TOKEN_ROLES } from '../../server/access/role.ts';
import { Contacts } from '../../server/notify/contacts.ts';
import { openStore } from '../../server/record/open-store.ts';
import { databaseFlag, dataFlag } from '../flags.ts';

interface Flags {
  readonly data: string;
  readonly database?: string;
  readonly role: string;
  readonly sites?: string[];
  readonly until?: number;
  readonly passwordStdin?: true;
  readonly pinStdin?: true;
}

const roleFlag = (roles: readonly string[]): Option => new Option('--role <role>', 'what they may do').choices([...roles]).makeOptionMandatory();
const sitesFlag = (): Option => new Option('--sites <ids>', 'the sites they may see, separated by commas; without it every site').argParser((ids: string) => ids.split(',').map((id) => id.trim()));

/** `potside user`: the people who may sign in. Works beside a running server. */
export function userCommand(): Command {
  const user = new Command('user').description('the people who may sign in');
  user
    .command('add <name>')
    .description('add a person, or give one a new role, sites and password')
    .addOption(roleFlag(ROLES))
    .addOption(sitesFlag())
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .option('--password-stdin', 'read the password from standard input')
    .action(async (name: string, flags: Flags) => {
      if (!flags.passwordStdin) throw new UserError('give the password on standard input with --password-stdin: on the command line others could read it');
      const password = await firstLine();
      if (password === '') throw new UserError('the password is empty');
      await withAccounts(flags, (accounts) => accounts.addUser(name, flags.role, password, { sites: flags.sites ?? null }));
      process.stdout.write(`${name} may sign in as ${flags.role}\n`);
    });
  user
    .command('list')
    .description('everybody, with role and sites')
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .action((flags: Flags) =>
      withAccounts(flags, async (accounts) => {
        for (const { name, role, sites, disabled } of await accounts.users()) process.stdout.write(`${name}\t${role}${sites ? `\t${sites.join(',')}` : ''}${disabled ? '\tdisabled' : ''}\n`);
      }),
    );
  user
    .command('disable <name>')
    .description('end a person’s sessions and refuse new ones')
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .action((name: string, flags: Flags) => withAccounts(flags, (accounts) => accounts.disableUser(name)));
  user
    .command('pin <name>')
    .description('the PIN for devices at the rig, read from standard input')
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .option('--pin-stdin', 'read the PIN from standard input')
    .action(async (name: string, flags: Flags) => {
      if (!flags.pinStdin) throw new UserError('give the PIN on standard input with --pin-stdin: on the command line others could read it');
      const pin = await firstLine();
      await withAccounts(flags, (accounts) => accounts.setPin(name, pin));
    });
  user
    .command('email <name> [address]')
    .description('where a person gets mail about alarms; without an address nowhere')
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .action((name: string, address: string | undefined, flags: Flags) =>
      withAccounts(flags, async (accounts) => {
        if (!(await accounts.users()).some((one) => one.name === name)) throw new UserError(`there is no user ${JSON.stringify(name)}`);
        if (address !== undefined && !z.email().safeParse(address).success) throw new UserError(`${JSON.stringify(address)} is not an e-mail address`);
        const contacts = new Contacts(accounts.base);
        await contacts.set(name, { ...(await contacts.of(name)), email: address ?? null }, CONSOLE);
      }),
    );
  user
    .command('drop-second-factor <name>')
    .description('take a lost second factor away')
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .action((name: string, flags: Flags) => withAccounts(flags, (accounts) => accounts.setTotp(name, null, null)));
  return user;
}

/** `potside token`: bearer tokens for programs. */
export function tokenCommand(): Command {
  const token = new Command('token').description('bearer tokens for programs');
  token
    .command('add <name>')
    .description('make a token; it is printed once and kept only as a hash')
    .addOption(roleFlag(TOKEN_ROLES))
    .addOption(sitesFlag())
    .addOption(new Option('--until <date>', 'its end, as 2027-03-31; without it 90 days from now, a year at most').argParser(toInstant))
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .action((name: string, flags: Flags) => withAccounts(flags, async (accounts) => void process.stdout.write(`${await accounts.tokens.add(name, flags.role, { sites: flags.sites ?? null, untilMs: flags.until })}\n`)));
  token
    .command('list')
    .description('every token, with role, sites and end')
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .action((flags: Flags) =>
      withAccounts(flags, async (accounts) => {
        for (const { name, role, sites, untilMs } of await accounts.tokens.list()) process.stdout.write(`${name}\t${role}\t${sites?.join(',') ?? 'every site'}\t${untilMs === null ? 'without end' : new Date(untilMs).toISOString()}\n`);
      }),
    );
  token
    .command('revoke <name>')
    .description('end a token; what it was used for stops')
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .action((name: string, flags: Flags) =>
      withAccounts(flags, async (accounts) => {
        if (!(await accounts.tokens.revoke(name, CONSOLE))) throw new UserError(`there is no token ${JSON.stringify(name)}`);
      }),
    );
  return token;
}

/** `potside audit`: the chain of who did what. */
export function auditCommand(): Command {
  const audit = new Command('audit').description('the trail of who did what');
  audit
    .command('verify')
    .description('check the chain; exit code 1 where a row was changed or is missing')
    .addOption(dataFlag())
    .addOption(databaseFlag())
    .action((flags: Flags) =>
      withAccounts(flags, async (accounts) => {
        const verdict = await accounts.trail.verify();
        process.stdout.write(verdict.intact ? `whole: ${verdict.rows} rows, the last one’s hash is ${verdict.hash}\n` : `broken at row ${verdict.seq}: ${verdict.reason}\n`);
        if (!verdict.intact) process.exitCode = 1;
      }),
    );
  return audit;
}

async function firstLine(): Promise<string> {
  return (await text(process.stdin)).replace(/\r?\n$/, '');
}

function toInstant(written: string): number {
  const ms = Date.parse(written);
  if (!/^\d{4}-\d{2}-\d{2}/.test(written) || Number.isNaN(ms)) throw new InvalidArgumentError('expected a date, as 2027-03-31');
  return ms;
}

async function withAccounts({ data: dataDir, database }: Pick<Flags, 'data' | 'database'>, act: (accounts: Accounts) => Promise<void>): Promise<void> {
  if (database === undefined) mkdirSync(dataDir, { recursive: true });
  const { store, sql } = await openStore({ dataDir, database: database ?? null });
  try {
    await act(new Accounts(sql, wallClock()));
  } finally {
    await store.close();
  }
}
