import { readFileSync } from 'node:fs';
import { Command } from 'commander';
import { UserError } from '../../host/user-error.ts';
import { readRecordKey } from '../../server/bundle/record-key.ts';
import { type Verdict, verifyBundle } from '../../server/bundle/verify-bundle.ts';
import { dataFlag } from '../flags.ts';

interface Flags {
  readonly key?: string;
  readonly timeStamp?: string;
}

/** `potside verify`: whether a record is as it was signed. Needs nothing but the file. */
export function verifyCommand(): Command {
  return new Command('verify')
    .description('check a record: hashes, tree, signature, and its files against each other; offline, without the database')
    .argument('<file>', 'record.zip')
    .option('--key <fingerprint>', 'fingerprint of the key that must have signed it, as published by the record’s keeper')
    .option('--time-stamp <file>', 'a time stamp by RFC 3161 (.tsr) that came with it: checked to be of this seal')
    .addHelpText('after', '\nExit code 0: intact. 1: changed, and what was changed is named.\n\nExample:\n  potside verify record.zip --key 3f5a…\n')
    .action(async (file: string, flags: Flags) => {
      const verdict = await verifyBundle(read(file), { key: flags.key, timeStamp: flags.timeStamp === undefined ? undefined : read(flags.timeStamp) });
      process.stdout.write(describe(file, verdict, flags));
      if (verdict.faults.length > 0) process.exitCode = 1;
    });
}

/** `potside key`: the fingerprint to publish. */
export function keyCommand(): Command {
  return new Command('key')
    .description('print the fingerprint of the key that signs records; publish it where others can find it')
    .addOption(dataFlag())
    .action((flags: { data: string }) => void process.stdout.write(`${readRecordKey(flags.data).fingerprint}\n`));
}

function read(file: string): Buffer {
  try {
    return readFileSync(file);
  } catch (error) {
    throw new UserError(`can't read ${file}: ${(error as Error).message}`);
  }
}

function describe(file: string, { faults, statement, key, corrections, chain }: Verdict, flags: Flags): string {
  if (faults.length > 0) return [`${file}: NOT as it was signed`, ...faults.map((fault) => `  ${fault.file}: ${fault.what}`), ''].join('\n');
  const lines = [`${file}: intact`, `  shift    ${statement?.shift ?? ''} of ${statement?.site ?? ''}`, `  root     ${statement?.root ?? ''}`, `  key      ${key ?? ''}`];
  lines.push(statement?.kind === 'seal' ? `  sealed   ${statement.at}, after two signatures` : `  interim  taken out ${statement?.at ?? ''}, before two people had signed the shift`);
  if (corrections > 0) lines.push(`  added    ${corrections} ${corrections === 1 ? 'correction' : 'corrections'} after the seal, signed with the same key`);
  if (chain) lines.push(chain.links === 0 ? '  chain    none: the gateways made no chain over these readings' : `  chain    ${chain.confirmed} of ${chain.links} links confirmed by the readings; those at the edge of the shift reach beyond it`);
  if (flags.key === undefined) lines.push('  No --key was given: this tells that nothing was changed since it was signed with the key in the archive, not whose key that is.');
  if (flags.timeStamp !== undefined) lines.push('  The time stamp is of this seal. Whether its authority may be trusted: openssl ts -verify -data seal.json -in FILE.tsr -CAfile CA.pem');
  return [...lines, ''].join('\n');
}
