import { type AlarmRule, rule } from '../rule.ts';

/** The handle, the stop, the pot. Without a signal of the handle a failed deadman can't be told from blasting: these then do not apply. */
export const DEADMAN_RULES: readonly AlarmRule[] = [
  rule({
    name: 'deadman-failed', title: 'Deadman failed: nozzle does not stop', owner: 'rig', point: 'nozzle-pressure', measure: { unit: 's', dimension: 'time' },
    condition: { kind: 'state', test: 'deadman-failed', says: 'the handle is released and the nozzle still blows after', limit: { kind: 'fixed', value: 5 }, needs: ['remote-control', 'nozzle-pressure'], prompt: ['remote-control', 'nozzle-pressure'] },
    onDelayMs: 0, offDelayMs: 0, latched: true, shelvableBy: null, priority: 'critical',
    cause: 'Valve stuck, control line blocked or frozen, handle tied.',
    consequence: 'A nozzle under pressure that nobody holds.',
    response: 'The rig’s own emergency stop. Clear the nozzle’s line.',
    respondWithin: 'at once',
    limitSource: 'the equipment’s own manual; 5 s where it gives none: common practice, no source',
  }),
  rule({
    name: 'deadman-slow', title: 'Deadman slow', owner: 'rig', point: 'nozzle-stop',
    condition: { kind: 'state', test: 'deadman-slow', says: 'twice slower than 1.5 × the rig’s own baseline + 1 s', limit: null, needs: ['trigger-cycles', 'nozzle-stop', 'remote-control', 'nozzle-pressure'], prompt: [] },
    onDelayMs: 0, offDelayMs: 0, shelvableBy: 'safety-officer', priority: 'high',
    cause: 'Ice in the control line, a leak, too long a line, a worn valve.', consequence: 'The next one may not stop at all.', response: 'Out of use until it is found: ice, leak, length.', respondWithin: 'before the next trigger',
  }),
  rule({
    name: 'trigger-too-long', title: 'Trigger held longer than a pot lasts', owner: 'rig', point: 'handle-held',
    condition: { kind: 'above', limit: { kind: 'pot-endurance', times: 1.2 }, deadband: 0 },
    onDelayMs: 0, offDelayMs: 0, priority: 'high',
    cause: 'Handle tied down or jammed, or an empty pot blown on.', consequence: 'A handle that does not spring back is no deadman.', response: 'Look for a tied or jammed handle.', respondWithin: '1 min',
    limitSource: '1.2 × what a full pot lasts at this nozzle, an hour for bulk pots: common practice, no source',
  }),
  rule({
    name: 'pot-pressurised', title: 'Pressure in an open pot', owner: 'rig', point: 'pot-pressure',
    condition: { kind: 'state', test: 'pot-pressurised', says: 'the pot is signed open and holds more than', limit: { kind: 'fixed', value: 5 }, needs: ['pot-pressure'], prompt: ['pot-pressure'] },
    onDelayMs: 1_000, offDelayMs: 5_000, shelvableBy: null, priority: 'critical',
    cause: 'Supply not shut, valve leaking, or the handle pressed.', consequence: 'The lid or the abrasive may be thrown.', response: 'Stand clear. Close the supply.', respondWithin: 'at once',
  }),
];
