import { type AlarmRule, rule } from '../rule.ts';

/** Steel, weather, wind. */
export const WEATHER_RULES: readonly AlarmRule[] = [
  rule({
    name: 'steel-margin', title: 'Steel close to the dew point', owner: 'rig', point: 'steel-margin',
    condition: { kind: 'below', limit: { kind: 'regime', us: 2.8, en: 3 }, deadband: 0.5 },
    onDelayMs: 600_000, offDelayMs: 1_200_000, priority: 'medium', suppressedWhile: ['idle'],
    cause: 'Steel colder than the air, or the air getting damp.', consequence: 'Bare steel turns; a coat will not hold.', response: 'Hold the final blast and the prime. Spot the coldest steel.', respondWithin: '15 min',
    limitSource: 'ISO 8502-4: 3 °C; 5 °F in US specifications (both seen in a secondary source)',
  }),
  rule({
    name: 'steel-margin-soon', title: 'Steel will be close to the dew point within half an hour', owner: 'rig', point: 'steel-time-left',
    condition: { kind: 'below', limit: { kind: 'fixed', value: 30 }, deadband: 15 },
    onDelayMs: 300_000, offDelayMs: 300_000, autoAcknowledge: true, priority: 'low', suppressedWhile: ['idle'],
    cause: 'Evening, rain coming, or the sun off the steel.', consequence: 'What is bare then must be blasted again.', response: 'Plan the last burst; prime what is done.', respondWithin: '15 min',
    limitSource: 'an advisory from the trend, if things go on as they do; common practice, no source',
  }),
  rule({
    name: 'humidity', title: 'Humidity high', owner: 'site', point: 'ambient-humidity',
    condition: { kind: 'above', limit: { kind: 'fixed', value: 85 }, deadband: 2 },
    onDelayMs: 600_000, offDelayMs: 1_200_000, autoAcknowledge: true, priority: 'low',
    cause: 'Weather.', consequence: 'Bare steel turns sooner.', response: 'Hold the final blast and the prime. Watch the steel’s margin.', respondWithin: '15 min',
    limitSource: '85 % is the usual figure of coating specifications (seen in a secondary source)',
  }),
  rule({
    name: 'intake-downwind', title: 'Compressor intake downwind of the blasting', owner: 'compressor', point: 'intake-in-plume',
    condition: { kind: 'at-or-above', limit: { kind: 'fixed', value: 1 }, deadband: 0 },
    onDelayMs: 300_000, offDelayMs: 600_000, autoAcknowledge: true, priority: 'low',
    cause: 'The wind turned, or the machine stands badly.', consequence: 'Dust and exhaust may be drawn in.', response: 'Move the intake or the exhaust.', respondWithin: '15 min',
    limitSource: '5-minute mean within 45°, above 1.5 m/s: common practice, no source',
  }),
  rule({
    name: 'intake-downwind-co', title: 'Intake downwind, and carbon monoxide seen', owner: 'compressor', point: 'intake-in-plume', measure: { unit: '[ppm]', dimension: 'fraction' },
    condition: { kind: 'state', test: 'plume-with-co', says: 'the intake is downwind and a rig sees at least', limit: { kind: 'fixed', value: 3 }, needs: ['intake-in-plume'], prompt: [] },
    onDelayMs: 60_000, offDelayMs: 300_000, isAir: true, shelvableBy: 'safety-officer', priority: 'medium',
    cause: 'Exhaust is drawn into the intake.', consequence: 'Carbon monoxide in the breathing air may go on rising.', response: 'Be ready to bring the blasters out. Move the exhaust or the intake.', respondWithin: '2 min',
  }),
  rule({
    name: 'containment', title: 'Containment not held', owner: 'rig', point: 'containment-suction',
    condition: { kind: 'below', limit: { kind: 'site-sets' }, deadband: 1 },
    onDelayMs: 60_000, offDelayMs: 60_000, priority: 'medium',
    cause: 'Fan stopped, a flap open, or too much wind.', consequence: 'Dust leaves the enclosure.', response: 'Stop. Close up.', respondWithin: '2 min',
    limitSource: 'the site’s own plan: it must be set, there is no default',
  }),
];
