import { join } from 'node:path';
import { expect, it } from 'vitest';
import type { Action } from '../../domain/site/log.ts';
import { SettableClock } from '../../host/clock.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import { openSqliteStore } from '../../server/record/sqlite-store.ts';
import type { Store } from '../../server/record/store.ts';
import { FoldedSite } from '../support/folded-site.ts';
import { QUIET } from '../support/quiet.ts';
import { batch, NOW, sequenced } from '../support/server.ts';
import { reading, SITE_YAML, testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

interface Site {
  readonly writer: SiteWriter;
  readonly store: Store;
}

async function open(file: string, clock: SettableClock, config = testSite()): Promise<Site> {
  const { store } = openSqliteStore(file);
  const writer = await SiteWriter.open({ siteId: 'pier-9', store, clock, log: QUIET, onCommitted: () => undefined });
  await writer.configure(config);
  return { writer, store };
}

const who = (key: string, role = 'safety-officer'): Pick<Action, 'by' | 'role' | 'from' | 'key'> => ({ by: 'sam', role, from: 'test', key });
const stateOf = ({ writer }: Site, name: string): string | undefined => [...writer.state.alarms()].find(({ bound, track }) => bound.rule.name === name && track.occurrence)?.track.occurrence?.state;
const rowsOf = async ({ store }: Site, name: string): Promise<unknown[]> => (await store.journal('pier-9', { limit: 500 })).filter(({ kind, detail }) => kind === 'alarm' && detail['name'] === name).map(({ detail }) => detail['what']).toReversed();

it('#49 a value that swings round its limit is one alarm', () => {
  const site = new FoldedSite();
  for (let second = 0; second < 300; second += 1) site.read(reading('breathing-air-co', Math.round((10 + 0.2 * Math.sin(second)) * 10) / 10, 1_000 + second * 1_000));
  expect(site.moves.filter(({ rule, what }) => rule.name === 'co-high' && what === 'raised')).toHaveLength(1);
});

it('#50 fifty alarms in ten seconds are a flood, and CO is still told by itself and at once', () => {
  const rigs = Array.from({ length: 26 }, (_, index) => `rig-${index + 1}`);
  const site = new FoldedSite(testSite(`site: { id: pier-9, name: Pier 9, zone: UTC }\nrigs:\n${rigs.map((rig) => `  - id: ${rig}\n    vessel: { rated-pressure: 125psi, volume: 6.5ft3 }\n`).join('')}`));
  const each = (atMs: number, point: string, value: number): void => rigs.forEach((owner) => void site.read(reading(point, value, atMs, { owner })));
  for (const point of ['pot-pressure', 'supply-pressure', 'separator-pressure']) {
    each(1_000, point, 90);
    rigs.forEach((owner, index) => void site.read(reading(point, null, 2_000 + index * 300, { owner })));
  }
  const before = site.moves.filter(({ what }) => what === 'raised').length;
  expect(before).toBeGreaterThan(50);
  expect(site.evaluator.flood).not.toBeNull();
  const { transitions } = site.read(reading('breathing-air-co', 40, 12_000, { owner: 'rig-7' }));
  expect(transitions.map(({ rule, owner, what }) => [rule.name, owner, what])).toContainEqual(['co-high', 'rig-7', 'raised']);
  expect(transitions.find(({ rule }) => rule.name === 'co-high')?.rule.isAir).toBe(true);
});

it('#51 taken twice, by two, and once more after a lost answer: the first stands, and the same request is the same answer', async () => {
  const site = await open(join(tempDir(), 'record.db'), new SettableClock(NOW));
  await site.writer.take(batch([sequenced('pot-pressure', 140, NOW, 1), sequenced('breathing-air-co', 15, NOW, 2)]));
  const alarm = [...site.writer.state.alarms()].find(({ bound, track }) => bound.rule.name === 'co-high' && track.occurrence)?.track.occurrence?.id ?? '';
  const take = (by: string, key: string) => site.writer.act({ kind: 'acknowledge', alarm, atRig: false, by, role: 'supervisor', from: 'test', key });
  const [first, again, second] = await Promise.all([take('dana', 'one'), take('dana', 'one'), take('lee', 'two')]);
  expect(again).toEqual(first);
  expect(first.refusal).toBeNull();
  expect(await take('dana', 'one')).toMatchObject({ refusal: first.refusal });
  expect([...site.writer.state.alarms()].find(({ track }) => track.occurrence?.id === alarm)?.track.occurrence?.acknowledgedBy).toBe('dana');
  expect(second).toBeDefined();
  expect((await rowsOf(site, 'co-high')).filter((what) => what === 'acknowledged')).toHaveLength(1);
  await site.writer.stop();
  await site.store.close();
});

it('#52 a shelf that ends while the server is down: the alarm is back at the next start, by the deadline that was stored', async () => {
  const file = join(tempDir(), 'record.db');
  const clock = new SettableClock(NOW);
  const before = await open(file, clock);
  await before.writer.take(batch([sequenced('breathing-air-co', 15, NOW, 1)]));
  const alarm = [...before.writer.state.alarms()].find(({ bound }) => bound.rule.name === 'co-high')?.bound.key ?? '';
  expect((await before.writer.act({ kind: 'shelve', alarm, reason: 'nuisance', text: 'being looked at', untilMs: NOW + 60_000, ...who('shelve') })).refusal).toBeNull();
  expect(stateOf(before, 'co-high')).toBe('shelved');
  await before.store.close();
  clock.set(NOW + 600_000);
  const after = await open(file, clock);
  await after.writer.take(batch([sequenced('breathing-air-co', 15, NOW + 600_000, 2)]));
  expect(stateOf(after, 'co-high')).toBe('unacknowledged');
  const [row] = (await after.store.journal('pier-9', { limit: 500 })).filter(({ detail }) => detail['what'] === 'unshelved');
  expect(row?.atMs).toBe(NOW + 60_000);
  await after.writer.stop();
  await after.store.close();
});

it('#53 a limit changed while its alarm stands: the alarm keeps the limit it was raised by, the change is in the journal, and the new one rules from then on', async () => {
  const clock = new SettableClock(NOW);
  const site = await open(join(tempDir(), 'record.db'), clock);
  await site.writer.take(batch([sequenced('breathing-air-co', 12, NOW, 1)]));
  expect(stateOf(site, 'co-high')).toBe('unacknowledged');
  clock.set(NOW + 1_000);
  await site.writer.configure(testSite(`${SITE_YAML}\nalarms: { co-high: { limit: 5ppm } }\n`));
  expect(stateOf(site, 'co-high')).toBe('unacknowledged');
  expect([...site.writer.state.alarms()].find(({ bound }) => bound.rule.name === 'co-high')?.track.occurrence?.limit).toBe(10);
  const config = (await site.store.journal('pier-9', { limit: 50 })).find(({ kind, detail }) => kind === 'config' && JSON.stringify(detail).includes('co-high'));
  expect(config?.detail['changes']).toEqual([{ setting: 'co-high limit', old: null, new: 5 }]);
  await site.writer.take(batch([{ ...sequenced('breathing-air-co', 6, NOW + 1_000, 2), owner: 'rig-b' }]));
  expect([...site.writer.state.alarms()].filter(({ bound, track }) => bound.rule.name === 'co-high' && track.occurrence).map(({ bound }) => bound.owner).sort()).toEqual(['rig-a', 'rig-b']);
  await site.writer.stop();
  await site.store.close();
});
