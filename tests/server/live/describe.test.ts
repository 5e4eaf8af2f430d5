import { describe, expect, it } from 'vitest';
import { describeSite } from '../../../server/live/describe.ts';
import { FoldedSite } from '../../support/folded-site.ts';
import { reading, testSite } from '../../support/site.ts';

const MORE = { demo: false, replay: null, recording: true, gatewayAtMs: null };
const config = testSite();
const rigId = 'rig-a';

function rigOf(site: FoldedSite) {
  const rig = describeSite(site.evaluator, MORE)?.rigs.find((one) => one.id === rigId);
  if (!rig) throw new Error('no such rig');
  return rig;
}

function needle(value: number | null) {
  return { kind: 'entry', rig: rigId, entry: 'needle', value, place: '', text: '', by: 'kim', role: 'tender', key: 'k', from: 'here' } as const;
}

describe('a rig as browsers are told of it', () => {
  it('has its build in numbers, and the last needle reading with what the machine showed then', () => {
    const site = new FoldedSite(config);
    expect(rigOf(site)).toMatchObject({ needle: null, line: { elevation: config.site.elevation, hose: config.rigs[0]?.hose && { bore: config.rigs[0].hose.bore, length: config.rigs[0].hose.length } } });
    site.act(1_000, needle(93));
    expect(rigOf(site).needle).toEqual({ atMs: 1_000, nozzle: 93, supply: null, residual: null, supplyLoss: null });
    site.read(reading('supply-pressure', 104, 2_000));
    site.act(2_500, needle(94));
    expect(rigOf(site).needle).toMatchObject({ atMs: 2_500, nozzle: 94, supply: 104 });
    // Read, but not written down: what it showed before still is the last that is known.
    site.act(3_000, needle(null));
    expect(rigOf(site).needle).toMatchObject({ atMs: 2_500, nozzle: 94 });
  });
});
