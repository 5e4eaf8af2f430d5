import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import mqtt, { type MqttClient } from 'mqtt';
import { onTestFinished } from 'vitest';
import { openSqlite } from '../../../host/open-sqlite.ts';
import { type PotsideProcess, startPotsideUnder } from '../../support/potside-process.ts';
import { SITE_YAML } from '../../support/site.ts';
import { tempDir } from '../../support/temp-dir.ts';

export interface TestSite {
  readonly dataDir: string;
  start(under?: Parameters<typeof startPotsideUnder>[0]): Promise<PotsideProcess>;
}

/** A site on disk, to be started as `potside serve` any number of times. */
export function siteOnDisk(options: { dataDir?: string; more?: string; flags?: readonly string[] } = {}): TestSite {
  const dataDir = options.dataDir ?? tempDir();
  const config = join(tempDir(), 'site.yaml');
  writeFileSync(config, `${SITE_YAML}\n${options.more ?? ''}`);
  return { dataDir, start: (under = {}) => startPotsideUnder(under, 'serve', '--config', config, '--data', dataDir, '--port', '0', '--mqtt-port', '0', ...(options.flags ?? [])) };
}

/** Sends numbered values of a rig's pot pressure, 0.1 psi apart so that each can be told in the record, and notes what was acknowledged. */
export class Sender {
  readonly acknowledged = new Set<number>();
  sent = 0;
  #client: MqttClient | null = null;

  async connect(url: string): Promise<void> {
    const client = await mqtt.connectAsync(url, { reconnectPeriod: 0, connectTimeout: 5_000 });
    client.on('error', () => undefined);
    onTestFinished(() => void client.end(true));
    this.#client = client;
  }

  /** Sends so many more; a send that fails counts as not acknowledged. Resolves at once. */
  send(count: number): void {
    for (let one = 0; one < count; one += 1) {
      const number = this.sent++;
      this.#client?.publishAsync('potside/pier-9/rig-a/pot-pressure', String(number / 10), { qos: 1 }).then(() => this.acknowledged.add(number), () => undefined);
    }
  }

  /** Sends something else beside the numbers. */
  say(topic: string, payload: string): void {
    this.#client?.publishAsync(topic, payload, { qos: 1 }).catch(() => undefined);
  }

  async leave(): Promise<void> {
    await this.#client?.endAsync(true);
  }
}

/** Values of a point in the record and, not handed over yet, in the outbox, of a process that has ended. */
export function storedValues(dataDir: string, point: string): (number | null)[] {
  const record = openSqlite(join(dataDir, 'record.db'));
  const stored = record.prepare('SELECT value FROM reading JOIN series ON series.id = reading.series WHERE point = ? ORDER BY reading.id').raw().all(point) as [number | null][];
  record.close();
  return stored.map(([value]) => value);
}

/** What a URL answers, as JSON. */
export async function ask(url: string): Promise<any> {
  return (await fetch(url)).json();
}

export function readText(file: string): string {
  return readFileSync(file, 'utf8');
}

/** What must hold of a sender's numbers whatever happened: nothing acknowledged is missing, nothing is there twice, nothing nobody sent. */
export function compare(sender: Sender, stored: readonly (number | null)[]): { lost: number[]; twice: number[]; phantoms: number[] } {
  const counts = new Map<number, number>();
  for (const value of stored) if (value !== null) counts.set(Math.round(value * 10), (counts.get(Math.round(value * 10)) ?? 0) + 1);
  return {
    lost: [...sender.acknowledged].filter((number) => !counts.has(number)),
    twice: [...counts].filter(([, times]) => times > 1).map(([number]) => number),
    phantoms: [...counts.keys()].filter((number) => number >= sender.sent),
  };
}

export const NOTHING_WRONG = { lost: [], twice: [], phantoms: [] };
