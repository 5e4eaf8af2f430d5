import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { text } from 'node:stream/consumers';
import { Command, Option } from 'commander';
import { wallClock } from '../../host/clock.ts';
import { UserError } from '../../host/user-error.ts';
import { Accounts } from '../../server/access/accounts.ts';
import { ROLES, TOKEN_ROLES } from '../../server/access/role.ts';
import { openSqliteStore } from '../../server/record/sqlite-store.ts';
import { dataFlag } from '../flags.ts';

interface Flags {
  readonly data: string;
  readonly role: string;
  readonly passwordStdin?: true;
}

const roleFlag = (roles: readonly string[]): Option => new Option('--role <role>', 'what they may do').choices([...roles]).makeOptionMandatory();

/** `potside user`: the people who may sign in. Works beside a running server. */
export function userCommand(): Command {
  const user = new Command('user').description('the people who may sign in');
  user
    .command('add <name>')
    .description('add a person, or give one a new role and password')
    .addOption(roleFlag(ROLES))
    .addOption(dataFlag())
    .option('--password-stdin', 'read the password from standard input')
    .action(async (name: string, flags: Flags) => {
      if (!flags.passwordStdin) throw new UserError('give the password on standard input with --password-stdin: on the command line others could read it');
      const password = (await text(process.stdin)).replace(/\r?\n$/, '');
      await withAccounts(flags.data, (accounts) => accounts.addUser(name, flags.role, password));
      process.stdout.write(`${name} may sign in as ${flags.role}\n`);
    });
  user
    .command('list')
    .description('everybody, with role')
    .addOption(dataFlag())
    .action((flags: Flags) =>
      withAccounts(flags.data, (accounts) => {
        for (const { name, role, disabled } of accounts.users()) process.stdout.write(`${name}\t${role}${disabled ? '\tdisabled' : ''}\n`);
      }),
    );
  user
    .command('disable <name>')
    .description('end a person’s sessions and refuse new ones')
    .addOption(dataFlag())
    .action((name: string, flags: Flags) => withAccounts(flags.data, (accounts) => accounts.disableUser(name)));
  return user;
}

/** `potside token`: bearer tokens for programs. */
export function tokenCommand(): Command {
  const token = new Command('token').description('bearer tokens for programs');
  token
    .command('add <name>')
    .description('make a token; it is printed once and kept only as a hash')
    .addOption(roleFlag(TOKEN_ROLES))
    .addOption(dataFlag())
    .action((name: string, flags: Flags) => withAccounts(flags.data, (accounts) => void process.stdout.write(`${accounts.addToken(name, flags.role)}\n`)));
  return token;
}

async function withAccounts(dataDir: string, act: (accounts: Accounts) => void | Promise<void>): Promise<void> {
  mkdirSync(dataDir, { recursive: true });
  const { store, database } = openSqliteStore(join(dataDir, 'record.db'));
  try {
    await act(new Accounts(database, wallClock()));
  } finally {
    store.close();
  }
}
