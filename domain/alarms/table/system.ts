import { type AlarmRule, rule } from '../rule.ts';

/** Sensors, power, clock, and the way an alarm takes to a person. */
export const SYSTEM_RULES: readonly AlarmRule[] = [
  ...(['rig', 'compressor', 'site'] as const).map((owner) =>
    rule({
      name: 'sensor-lost', title: 'Sensor lost', owner, point: 'every-measured', condition: { kind: 'unknown' },
      onDelayMs: 0, offDelayMs: 3_000, priority: 'low',
      cause: 'Sensor silent, unplugged, faulty, or its link lost.', consequence: 'What depends on it can’t be said.', response: 'Fit the spare, or take the reading by hand.', respondWithin: 'this shift',
    }),
  ),
  rule({
    name: 'on-battery', title: 'On battery', owner: 'site', point: 'on-battery',
    condition: { kind: 'at-or-above', limit: { kind: 'fixed', value: 1 }, deadband: 0 },
    onDelayMs: 10_000, offDelayMs: 10_000, priority: 'medium',
    cause: 'Mains or generator lost.', consequence: 'Watching ends with the battery.', response: 'Restore the power.', respondWithin: '15 min',
  }),
  rule({
    name: 'clock-off', title: 'The clock was off', owner: 'site', point: null, measure: { unit: 's', dimension: 'time' },
    condition: { kind: 'state', test: 'clock-off', says: 'the clock was off by more than', limit: { kind: 'fixed', value: 2 }, needs: [], prompt: 'told' },
    onDelayMs: 0, offDelayMs: 0, priority: 'medium',
    cause: 'The clock was set, or has no battery.', consequence: 'Times in the record before this moment are off by as much.', response: 'Restore the time source; note it in the shift.', respondWithin: '15 min',
  }),
  rule({
    name: 'beacon-dead', title: 'Horn and light can’t be reached', owner: 'site', point: null,
    condition: { kind: 'state', test: 'beacon-dead', says: 'the beacon’s message can’t be delivered', limit: null, needs: [], prompt: 'told' },
    onDelayMs: 15_000, offDelayMs: 5_000, shelvableBy: null, priority: 'high',
    cause: 'Broker down or network lost.', consequence: 'The rig would not hear an alarm.', response: 'Hand signals, an attendant at each rig. Then the network.', respondWithin: '2 min',
  }),
  rule({
    name: 'outbox-full', title: 'The gateway runs out of room', owner: 'site', point: null,
    condition: { kind: 'state', test: 'outbox-full', says: 'readings wait at the gateway and there is no more room for them', limit: null, needs: [], prompt: 'told' },
    onDelayMs: 0, offDelayMs: 0, priority: 'medium',
    cause: 'A server was out of reach for long, or the gateway’s disk fails.', consequence: 'The oldest readings are thinned, those of breathing air last; with a failing disk nothing is taken in.', response: 'Restore the line to the server; then look at the gateway’s disk.', respondWithin: '1 h',
  }),
  rule({
    name: 'certificate-ending', title: 'A certificate or token ends soon', owner: 'site', point: null,
    condition: { kind: 'state', test: 'certificate-ending', says: 'a server’s certificate or the gateway’s token ends within two weeks', limit: null, needs: [], prompt: 'told' },
    onDelayMs: 0, offDelayMs: 0, priority: 'low',
    cause: 'Nobody renewed it.', consequence: 'From its end on the gateway hands nothing over; readings wait on its disk.', response: 'Renew the certificate at the server, or make the gateway a new token.', respondWithin: 'this week',
  }),
  rule({
    name: 'readings-set-aside', title: 'A server refuses readings', owner: 'site', point: null,
    condition: { kind: 'state', test: 'readings-set-aside', says: 'a server would not take readings as they are', limit: null, needs: [], prompt: 'told' },
    onDelayMs: 0, offDelayMs: 0, priority: 'low',
    cause: 'Gateway and server are of different versions, or a fault of the program.', consequence: 'These readings are kept at the gateway and are not in that server’s record.', response: 'Look at them with `potside set-aside`; bring both to one version. Report it.', respondWithin: 'this shift',
  }),
  rule({
    name: 'not-recording', title: 'Nothing is being recorded', owner: 'site', point: null,
    condition: { kind: 'state', test: 'not-recording', says: 'the record refused to be written', limit: null, needs: [], prompt: 'told' },
    onDelayMs: 0, offDelayMs: 0, shelvableBy: null, priority: 'high',
    cause: 'Disk full or failing.', consequence: 'There is no proof of this stretch, and no alarm was judged in it.', response: 'Hand signals, an attendant at each rig. Then the disk.', respondWithin: '2 min',
  }),
  rule({
    name: 'not-judged', title: 'Part of the data could not be judged', owner: 'site', point: null,
    condition: { kind: 'state', test: 'not-judged', says: 'something could not be evaluated and was set aside', limit: null, needs: [], prompt: 'told' },
    onDelayMs: 0, offDelayMs: 0, priority: 'medium',
    cause: 'A fault of the program, or a damaged entry of the record.', consequence: 'What the journal names is recorded but not watched.', response: 'Read the journal; watch what it names by hand. Report it.', respondWithin: '15 min',
  }),
  rule({
    name: 'nobody-told', title: 'Nobody was told of an alarm', owner: 'site', point: null,
    condition: { kind: 'state', test: 'nobody-told', says: 'an alarm stands and neither beacon nor a screen takes it for 30 s, or no message of it was handed over before its deadline', limit: null, needs: [], prompt: 'told' },
    onDelayMs: 0, offDelayMs: 5_000, shelvableBy: null, priority: 'high',
    cause: 'No screen is open and the beacon can’t be reached; or every way to phones and mail failed.', consequence: 'Nobody acts.', response: 'Hand signals, an attendant at each rig. Open a screen.', respondWithin: '2 min',
  }),
];
