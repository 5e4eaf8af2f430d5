import { expect, it } from 'vitest';
import { standingAlarms } from '../../../server/live/describe-alarm.ts';
import { FoldedSite } from '../../support/folded-site.ts';
import { reading } from '../../support/site.ts';

it('what nobody has taken stands first, then by priority', () => {
  const site = new FoldedSite();
  const told = (): string[] => standingAlarms(site.evaluator).map(({ name, priority, acknowledgedBy }) => `${priority} ${name}${acknowledgedBy === null ? '' : `, ${acknowledgedBy} has it`}`);
  site.read(reading('breathing-air-co', 2, 1_000));
  site.read(reading('breathing-air-co', 12.5, 2_000));
  site.tick(60_000);
  expect(told()).toEqual(['critical co-high', 'medium supply-pressure-unknown']);
  const co = standingAlarms(site.evaluator).find(({ name }) => name === 'co-high');
  site.act(61_000, { kind: 'acknowledge', alarm: co?.id ?? '', key: 'k', by: 'ada', role: 'safety-officer', from: 'here', atRig: false });
  expect(told()).toEqual(['medium supply-pressure-unknown', 'critical co-high, ada has it']);
});
