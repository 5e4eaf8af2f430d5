import { type AlarmRule, rule } from '../rule.ts';

/** Water in the line and in the breathing air. */
export const MOISTURE_RULES: readonly AlarmRule[] = [
  rule({
    name: 'line-wet', title: 'Line air wet', owner: 'rig', point: 'separator-temperature', measure: { unit: 'Cel', dimension: 'temperature-difference' },
    condition: { kind: 'state', test: 'line-wet', says: 'air after the separator warmer than outside by more than', limit: { kind: 'fixed', value: 10 }, needs: ['separator-temperature', 'ambient-temperature'], prompt: [] },
    onDelayMs: 300_000, offDelayMs: 900_000, autoAcknowledge: true, priority: 'low', suppressedWhile: ['not-in-service', 'warm-up'],
    cause: 'Aftercooler not running or clogged, separator full.', consequence: 'The air goes on cooling in the hose, and rains there.', response: 'Drain. Take a blotter reading.', respondWithin: '30 min',
  }),
  rule({
    name: 'freezing', title: 'Control line may freeze', owner: 'rig', point: 'hose-condensation-margin', measure: { unit: 'Cel', dimension: 'temperature' },
    condition: { kind: 'state', test: 'freezing', says: 'the pressure dew point is above the hose and the air is at or below', limit: { kind: 'fixed', value: 2 }, needs: ['ambient-temperature', 'hose-condensation-margin'], prompt: [] },
    onDelayMs: 300_000, offDelayMs: 300_000, priority: 'high', suppressedWhile: ['not-in-service', 'depressurised'],
    cause: 'Wet air in the cold.', consequence: 'Ice in the control line: the deadman may stick.', response: 'Try the deadman at each start and every hour. Drain, dry the air.', respondWithin: '15 min',
  }),
  rule({
    name: 'breathing-air-damp', title: 'Breathing air damp', owner: 'rig', point: 'breathing-air-dryness',
    condition: { kind: 'below', limit: { kind: 'fixed', value: 5.6 }, deadband: 1 },
    onDelayMs: 600_000, offDelayMs: 600_000, regime: 'US', priority: 'medium', suppressedWhile: ['not-in-service', 'depressurised'],
    cause: 'Separator or filter full, dryer off.', consequence: 'Water in the filter and in the hood’s line.', response: 'Drain the separator. Change the filter.', respondWithin: '30 min',
    limitSource: '29 CFR 1910.134(i)(5)(ii): dew point at one atmosphere 10 °F (5.56 °C) below air temperature',
  }),
  rule({
    name: 'breathing-air-damp-pressure', title: 'Breathing air damp for the coldest hose', owner: 'rig', point: 'hose-condensation-margin',
    condition: { kind: 'below', limit: { kind: 'fixed', value: 5 }, deadband: 1 },
    onDelayMs: 600_000, offDelayMs: 600_000, regime: 'EN', priority: 'medium', suppressedWhile: ['not-in-service', 'depressurised'],
    cause: 'Separator or filter full, dryer off.', consequence: 'Water or ice in the hood’s line.', response: 'Drain the separator. Change the filter.', respondWithin: '30 min',
    limitSource: 'EN 12021: pressure dew point 5 °C below the lowest temperature in use (from memory)',
  }),
  rule({
    name: 'blotter-due', title: 'Blotter test due', owner: 'rig', point: 'supply-pressure', measure: { unit: 'h', dimension: 'time' },
    condition: { kind: 'state', test: 'blotter-due', says: 'at the start of the shift, and every', limit: { kind: 'fixed', value: 5 }, needs: ['supply-pressure'], prompt: 'told' },
    onDelayMs: 0, offDelayMs: 0, autoAcknowledge: true, priority: 'low', suppressedWhile: ['idle'],
    cause: 'Not done, or not entered.', consequence: 'Oil or water on the steel would not be known.', response: 'Take it, a minute or more.', respondWithin: '30 min',
    limitSource: 'ASTM D4285 for the test (from memory); how often is common practice, no source',
  }),
  rule({
    name: 'spot-due', title: 'Spot reading of the steel due', owner: 'rig', point: 'steel-temperature', measure: { unit: 'h', dimension: 'time' },
    condition: { kind: 'state', test: 'spot-due', says: 'since the last one', limit: { kind: 'fixed', value: 4 }, needs: ['steel-temperature'], prompt: 'told' },
    onDelayMs: 0, offDelayMs: 0, autoAcknowledge: true, priority: 'low', suppressedWhile: ['idle'],
    cause: 'Not done, or not entered.', consequence: 'The probe is at one place; the coldest steel may be elsewhere.', response: 'Take it at the coldest steel, with its place.', respondWithin: '30 min',
  }),
];
