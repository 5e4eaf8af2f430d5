import { join } from 'node:path';
import type { SiteConfig } from '../../domain/shift/site-config.ts';
import type { ArrivingTopic } from '../../domain/wire/gateway-report.ts';
import { startDryRun } from '../../gateway/dry-run.ts';
import { DEVICES_FILE } from '../../gateway/gateway.ts';
import { wallClock } from '../../host/clock.ts';
import { createLog } from '../../host/log.ts';
import { untilStopped } from '../until-stopped.ts';

/** Listens for `seconds` or until Ctrl-C and prints what the configuration makes of what is heard. */
export async function dryRun(config: SiteConfig, flags: { readonly data: string; readonly mqttPort: number; readonly seconds: number; readonly json: boolean; readonly log: string }): Promise<void> {
  const run = await startDryRun({ config, mqttPort: flags.mqttPort, devicesFile: join(flags.data, DEVICES_FILE), clock: wallClock(), log: createLog(flags.log) });
  const lost = config.mqtt ? '' : ' What sensors send to it meanwhile is lost, though they are told otherwise.';
  process.stderr.write(`Listening at ${run.mqttUrl} for ${flags.seconds} s; nothing is stored.${lost} Ctrl-C ends it.\n`);
  let timer: NodeJS.Timeout | undefined;
  await Promise.race([untilStopped(), new Promise((resolve) => (timer = setTimeout(resolve, flags.seconds * 1000)))]);
  clearTimeout(timer);
  const { topics, silent } = run.found();
  await run.stop();
  process.stdout.write(flags.json ? `${JSON.stringify({ topics, silent })}\n` : report(topics, silent));
}

function report(topics: readonly ArrivingTopic[], silent: readonly string[]): string {
  const rows = topics.map(({ topic, form, count, feeds, trouble, sample }) => [topic, form, String(count), becomes(feeds, trouble), sample.slice(0, 40)]);
  const heard = topics.length === 0 ? 'Nothing was heard.\n' : table([['topic', 'looks like', 'messages', 'becomes', 'newest'], ...rows]);
  const missed = silent.length === 0 ? 'Every configured point was heard.\n' : `Configured, but nothing was heard:\n${silent.map((one) => `  ${one}\n`).join('')}`;
  return `${heard}\n${missed}`;
}

function becomes(feeds: readonly string[], trouble: string | null): string {
  if (trouble === null) return feeds.join(', ') || 'nothing: heard before, or for nobody';
  return feeds.length === 0 ? `refused, ${trouble}` : `${feeds.join(', ')}; refused, ${trouble}`;
}

function table(rows: readonly (readonly string[])[]): string {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  return rows.map((row) => `${row.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join('  ').trimEnd()}\n`).join('');
}
