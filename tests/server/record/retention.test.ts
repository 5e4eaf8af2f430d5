import { expect, it } from 'vitest';
import { readTrace } from '../../../server/record/read-trace.ts';
import { eraseDue } from '../../../server/record/erase-due.ts';
import { SettableClock } from '../../../host/clock.ts';
import { SiteWriter } from '../../../server/intake/site-writer.ts';
import { parseSiteYaml } from '../../../host/read-site-config.ts';
import { QUIET } from '../../support/quiet.ts';
import { SITE_YAML, testSite } from '../../support/site.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { HOUR_MS, recordTrouble, START_MS } from '../../support/troubled-record.ts';
import { collect } from '../../support/collect.ts';
import { openStoreAt, STORES } from '../../support/stores.ts';

const DAY_MS = 24 * HOUR_MS;
const person = { by: 'the safety officer', role: 'safety-officer', from: 'test' };

it.each(STORES)('erases by class what is over, never a held shift, and leaves every stretch visible as erased, over %s', async (kind) => {
  const { store } = await openStoreAt(kind, `${tempDir()}/record.db`);
  await recordTrouble(store, 6);
  while (await store.packNext('pier-9'));
  const clock = new SettableClock(START_MS + 40 * DAY_MS);
  const writer = await SiteWriter.open({ siteId: 'pier-9', store, clock, log: QUIET, onCommitted: () => undefined });
  const count = async (owner: string, point: string): Promise<number> => (await collect(store.samples('pier-9', owner, point, START_MS, START_MS + 5 * HOUR_MS))).length;
  const before = { supply: await count('rig-a', 'supply-pressure'), co: await count('rig-a', 'breathing-air-co'), dew: await count('pier-9', 'ambient-dew-point') };
  const entries = (await collect(store.readLog('pier-9', 0))).length;

  // As shipped, everything is kept.
  await writer.configure(testSite());
  await eraseDue(store, writer, clock);
  expect(await count('rig-a', 'supply-pressure')).toBe(before.supply);

  await writer.configure(parseSiteYaml(`${SITE_YAML}\nretention: { line: 30d, computed: 20d }\n`, 'site.yaml'));
  const [open] = writer.state.shifts;
  const shift = open?.id ?? '';
  await writer.act({ kind: 'hold-record', shift, isHeld: true, reason: 'claim 7', key: 'key-hold', ...person });
  expect(await store.retention.hold(shift)).toEqual({ shift, atMs: clock.nowMs(), by: person.by, reason: 'claim 7' });
  await eraseDue(store, writer, clock);
  expect(await count('rig-a', 'supply-pressure')).toBe(before.supply);

  await writer.act({ kind: 'hold-record', shift, isHeld: false, reason: 'settled', key: 'key-let-go', ...person });
  await eraseDue(store, writer, clock);
  expect(await store.retention.hold(shift)).toBeNull();
  expect(await count('rig-a', 'supply-pressure')).toBeLessThan(before.supply / 10);
  expect(await count('rig-a', 'breathing-air-co')).toBe(before.co);
  const { series } = await readTrace(store, 'pier-9', [{ owner: 'rig-a', id: 'supply-pressure', unit: '[psi]', gapMs: 60_000 }], { fromMs: START_MS, toMs: START_MS + 6 * HOUR_MS, width: 500 });
  expect(series[0]?.erased.length).toBeGreaterThanOrEqual(4);
  for (const stretch of series[0]?.erased ?? []) expect(stretch).toMatchObject({ atMs: clock.nowMs(), by: 'retention: line in site.yaml' });
  const told = (await store.journal('pier-9', { limit: 20 })).map(({ detail }) => detail).filter(({ kind }) => kind === 'erase-readings');
  // What was observed before the shift was not held with it, and went at once.
  expect(told).toHaveLength(3);
  expect(told.slice(0, 2)).toMatchObject([{ by: 'potside', text: 'retention: computed in site.yaml' }, { by: 'potside', text: 'retention: line in site.yaml', beforeMs: clock.nowMs() - 30 * DAY_MS }]);
  // The log itself stays whole: what was done is there, what was measured is not.
  expect((await collect(store.readLog('pier-9', 0))).slice(0, entries).map(({ seq }) => seq)).toEqual(Array.from({ length: entries }, (_, i) => i + 1));
  await eraseDue(store, writer, clock);
  expect((await store.journal('pier-9', { limit: 20 })).filter(({ detail }) => detail['kind'] === 'erase-readings')).toHaveLength(3);
  await writer.stop();
  await store.close();
});

it.each([['line: 3h', 'out of bounds'], ['line: 30 bar', 'expected a unit of time'], ['weather: 3d', 'unknown key']])('retention: { %s } is refused: %s', (written, message) => {
  expect(() => parseSiteYaml(`${SITE_YAML}\nretention: { ${written} }\n`, 'site.yaml')).toThrow(message);
});
