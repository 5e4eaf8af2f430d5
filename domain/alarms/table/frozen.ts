import { needPointKind } from '../../points/catalogue.ts';
import { type AlarmRule, rule } from '../rule.ts';

const OVER_BLASTING = 'a start and a stop of the blasting, 60 s, and still the same to the last digit';
const STUCK_GAUGE = 'Transmitter hung up, its port blocked or frozen, or a logger that repeats its last value.';

type Said = Pick<AlarmRule, 'name' | 'title' | 'priority' | 'cause' | 'consequence' | 'response' | 'respondWithin'> & { readonly point: string; readonly says?: string; readonly needs?: readonly string[] };

/** Of each point that something is bound to move. */
const SAID: readonly Said[] = [
  { point: 'supply-pressure', name: 'supply-gauge-frozen', title: 'Supply gauge repeats itself', priority: 'medium', needs: ['blasting'], cause: STUCK_GAUGE, consequence: 'A falling supply would not be seen here.', response: 'Read the gauge at the pot. Free or change the transmitter.', respondWithin: '15 min' },
  { point: 'nozzle-pressure', name: 'nozzle-gauge-frozen', title: 'Nozzle gauge repeats itself', priority: 'low', needs: ['remote-control'], says: 'the handle held and let go, 60 s, and still the same pressure to the last digit', cause: STUCK_GAUGE, consequence: 'Low pressure at the nozzle would not be seen here.', response: 'Take a needle reading. Free or change the transmitter.', respondWithin: 'this shift' },
  { point: 'pot-pressure', name: 'pot-gauge-frozen', title: 'Pot gauge repeats itself', priority: 'medium', needs: ['blasting'], cause: STUCK_GAUGE, consequence: 'A pot that stays under pressure would not be seen here.', response: 'Go by the gauge on the pot before anybody opens it. Free or change the transmitter.', respondWithin: '15 min' },
  { point: 'separator-pressure', name: 'separator-gauge-frozen', title: 'Separator gauge repeats itself', priority: 'low', needs: ['blasting'], cause: STUCK_GAUGE, consequence: 'A separator that clogs would not be seen here.', response: 'Free or change the transmitter.', respondWithin: 'this shift' },
  { point: 'air-flow', name: 'air-flow-frozen', title: 'Air flow meter repeats itself', priority: 'low', cause: 'Meter hung up, iced, or a logger that repeats its last value.', consequence: 'The load of the compressor and a worn nozzle would not be seen here.', response: 'Look at the meter. Free or change it.', respondWithin: 'this shift' },
  {
    point: 'compressor-temperature', name: 'compressor-temperature-frozen', title: 'Compressor thermometer repeats itself', priority: 'low', needs: ['compressor-pressure'],
    says: 'at pressure for 15 min, below 40 °C, and still the same to the last digit',
    cause: 'Probe fallen off, broken, or a logger that repeats its last value.', consequence: 'A compressor that runs hot would not be seen here.', response: 'Read the compressor’s own gauge. Fix the probe.', respondWithin: 'this shift',
  },
  {
    point: 'breathing-air-co', name: 'co-monitor-frozen', title: 'CO monitor did not answer the bump test', priority: 'high',
    says: 'a bump test is said to be passed, and the reading never moved',
    cause: 'Cell dead, no gas at the cell, a signal that repeats its last value, or a test of another monitor.', consequence: 'Carbon monoxide may not be seen here.',
    response: 'Nobody under the hood on this panel. Bump it again and watch this reading; change what does not answer.', respondWithin: '2 min',
  },
];

/** Sensors that say the same over something that is bound to move them (`movedBy` in the catalogue of points). */
export const FROZEN_RULES: readonly AlarmRule[] = SAID.map(({ says = OVER_BLASTING, needs = [], ...said }) =>
  rule({ ...said, owner: needPointKind(said.point).owner, condition: { kind: 'state', test: 'sensor-frozen', says, limit: null, needs: [said.point, ...needs], prompt: [] }, onDelayMs: 0, offDelayMs: 5_000 }),
);
