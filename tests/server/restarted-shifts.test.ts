import { join } from 'node:path';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import type { SequencedReading } from '../../domain/wire/uplink.ts';
import { SettableClock } from '../../host/clock.ts';
import { SiteWriter } from '../../server/intake/site-writer.ts';
import { openSqliteStore } from '../../server/record/sqlite-store.ts';
import { QUIET } from '../support/quiet.ts';
import { batch, NOW } from '../support/server.ts';
import { testSite } from '../support/site.ts';
import { tempDir } from '../support/temp-dir.ts';

interface Step {
  readonly gapMs: number;
  readonly point: string;
  readonly value: number;
  readonly isAcknowledged: boolean;
  readonly isCut: boolean;
}

const step: fc.Arbitrary<Step> = fc.record({
  gapMs: fc.integer({ min: 100, max: 25_000 }),
  point: fc.constantFrom('breathing-air-co', 'supply-pressure', 'nozzle-pressure', 'pot-pressure'),
  value: fc.integer({ min: 0, max: 1400 }).map((tenths) => tenths / 10),
  isAcknowledged: fc.integer({ min: 0, max: 5 }).map((one) => one === 0),
  isCut: fc.integer({ min: 0, max: 6 }).map((one) => one === 0),
});

/** Plays a shift into a record on disk; where it is cut, the writer is left as a killed process leaves it: nothing finished, nothing saved. */
async function journalOf(file: string, steps: readonly Step[], withCuts: boolean): Promise<unknown[]> {
  const clock = new SettableClock(NOW);
  const open = async () => {
    const { store } = openSqliteStore(file);
    const writer = await SiteWriter.open({ siteId: 'pier-9', store, clock, log: QUIET, onCommitted: () => undefined });
    await writer.configure(testSite());
    return { store, writer };
  };
  let { store, writer } = await open();
  for (const [index, { gapMs, point, value, isAcknowledged, isCut }] of steps.entries()) {
    clock.set(clock.nowMs() + gapMs);
    const atMs = clock.nowMs();
    const reading: SequencedReading = { owner: 'rig-a', point, value, observedAtMs: atMs, receivedAtMs: atMs, quality: 'good', reason: null, backlog: false, sequence: index + 1 };
    await writer.take(batch([reading]));
    const [standing] = [...writer.state.alarms()].flatMap(({ bound, track }) => (track.occurrence?.state === 'unacknowledged' ? [bound.key] : [])).sort();
    if (isAcknowledged && standing) await writer.act({ kind: 'acknowledge', alarm: standing, by: 'dana', role: 'supervisor', from: 'test', key: `step-${index}`, atRig: false });
    if (!withCuts || !isCut) continue;
    await store.close();
    ({ store, writer } = await open());
    // The gateway can't know what was committed and sends it again.
    await writer.take(batch([reading]));
  }
  // Ids carry the place in the log, which the ticks of an idle second move; what happened, when and by whom must be the same.
  const rows = (await store.journal('pier-9', { limit: 10_000 })).map(({ atMs, kind, owner, detail }) => ({ atMs, kind, owner, name: detail['name'], from: detail['from'], to: detail['to'], by: detail['by'], refusal: detail['refusal'] }));
  await writer.stop();
  await store.close();
  return rows;
}

it('fifty random shifts, killed at random points, leave the journal of an uninterrupted one', async () => {
  const dir = tempDir();
  let shift = 0;
  await fc.assert(
    fc.asyncProperty(fc.array(step, { minLength: 20, maxLength: 60 }), async (steps) => {
      shift += 1;
      const whole = await journalOf(join(dir, `whole-${shift}.db`), steps, false);
      expect(await journalOf(join(dir, `cut-${shift}.db`), steps, true)).toEqual(whole);
      expect(whole.length).toBeGreaterThan(1);
    }),
    { numRuns: 50 },
  );
});
