/** An alarm that must be announced, within a time of what really went wrong. */
interface MustRaise {
  /** `owner/alarm`. */
  readonly alarm: string;
  /** Cause in the simulation's own truth; null: from the beginning of the stretch. */
  readonly of: string | null;
  readonly withinS: number;
}

/**
 * What one scenario must bring about on the real path, and what it must not: whatever sounds and is named neither in `raises` nor in
 * `may` is a false alarm. `knownGap` says what a person would wish for and Potside can't tell.
 */
export interface Expectation {
  readonly scenario: string;
  readonly rigs: number;
  /** Seconds from going live. */
  readonly fromS: number;
  readonly untilS: number;
  readonly raises: readonly MustRaise[];
  /** Follows from the same fault, and may sound too. */
  readonly may?: readonly string[];
  readonly knownGap?: string;
}

const must = (alarm: string, of: string | null, withinS: number): MustRaise => ({ alarm, of, withinS });

/** Breathing air and people. */
export const AIR: readonly Expectation[] = [
  { scenario: 'demo', rigs: 2, fromS: -180, untilS: 240, raises: [must('rig-a/nozzle-pressure-low', 'kinked blast hose', 60), must('rig-b/co-high', 'exhaust in the intake', 90)], may: ['rig-a/line-loss-off', 'rig-b/co-rising'] },
  { scenario: 'co-wind', rigs: 2, fromS: -300, untilS: 600, raises: [must('rig-a/co-high', 'exhaust in the intake', 180), must('rig-b/co-high', 'exhaust in the intake', 180), must('comp-1/intake-downwind-co', 'exhaust in the intake', 540)] },
  { scenario: 'co-hot-compressor', rigs: 2, fromS: -120, untilS: 1750, raises: [must('rig-a/co-rising', 'overheated compressor', 1600), must('rig-b/co-rising', 'overheated compressor', 1600), must('rig-a/co-high', 'overheated compressor', 1740), must('rig-b/co-high', 'overheated compressor', 1740)] },
  { scenario: 'catalyst-spent', rigs: 2, fromS: -300, untilS: 600, raises: [must('rig-a/co-high', 'exhaust in the intake', 120)], may: ['rig-a/co-rising', 'rig-b/co-rising', 'comp-1/intake-downwind-co'] },
  { scenario: 'breathing-low', rigs: 1, fromS: -300, untilS: 900, raises: [must('rig-a/breathing-pressure-low', 'breathing regulator creeping down', 720)], may: ['rig-a/blasting-without-air'] },
  { scenario: 'co-sensor-stuck', rigs: 2, fromS: -400, untilS: 600, raises: [must('rig-b/co-high', 'exhaust in the intake', 120), must('comp-1/intake-downwind-co', 'exhaust in the intake', 540)], knownGap: 'rig A’s dead cell itself: near zero a living cell repeats itself too, only a bump test proves it; rig B and the intake alarm tell of the same air' },
  { scenario: 'deadman-slow', rigs: 1, fromS: -600, untilS: 600, raises: [must('rig-a/deadman-failed', 'deadman vents slowly', 420)], may: ['rig-a/deadman-slow'] },
  { scenario: 'handle-tied', rigs: 1, fromS: -60, untilS: 2500, raises: [must('rig-a/trigger-too-long', 'handle tied down', 2480)] },
];

/** The line from the compressor to the nozzle. */
export const LINE: readonly Expectation[] = [
  { scenario: 'quiet', rigs: 2, fromS: -300, untilS: 1500, raises: [] },
  { scenario: 'kinked-hose', rigs: 2, fromS: -300, untilS: 300, raises: [must('rig-a/nozzle-pressure-low', 'kinked blast hose', 60)], may: ['rig-a/line-loss-off'] },
  { scenario: 'rich-mix', rigs: 2, fromS: -300, untilS: 600, raises: [must('rig-a/line-loss-off', 'rich mix', 180)], may: ['rig-a/nozzle-pressure-low'] },
  { scenario: 'worn-nozzle', rigs: 1, fromS: -600, untilS: 13_200, raises: [must('rig-a/nozzle-worn', 'worn nozzle', 14_400)] },
  { scenario: 'clogged-separator', rigs: 2, fromS: -600, untilS: 1500, raises: [must('rig-a/separator-loss', 'separator clogged', 1500)], may: ['rig-a/supply-collapse', 'rig-a/nozzle-pressure-low'], knownGap: 'a pot that fills through a clogged element takes the supply below 60 psi for a moment, and a supply that is that low sounds as collapsing' },
  { scenario: 'compressor-small', rigs: 2, fromS: -700, untilS: 300, raises: [must('comp-1/compressor-overloaded', 'compressor too small', 120), must('rig-a/nozzle-pressure-low', 'compressor too small', 90), must('rig-b/nozzle-pressure-low', 'compressor too small', 90)] },
  { scenario: 'compressor-trip', rigs: 2, fromS: -300, untilS: 240, raises: [must('comp-1/compressor-tripped', 'compressor tripped', 20), must('rig-a/breathing-pressure-low', 'compressor tripped', 60), must('rig-b/breathing-pressure-low', 'compressor tripped', 60)], may: ['rig-a/supply-collapse', 'rig-b/supply-collapse', 'rig-a/blasting-without-air', 'rig-b/blasting-without-air', 'rig-a/nozzle-pressure-low', 'rig-b/nozzle-pressure-low', 'rig-a/supply-pressure-low', 'rig-b/supply-pressure-low'] },
  { scenario: 'leaking-supply', rigs: 2, fromS: -300, untilS: 240, raises: [], knownGap: 'a leak of this size raises nothing: it is found by the hold test, whose figure the test works out from the record' },
  { scenario: 'pot-empty', rigs: 1, fromS: -300, untilS: 2100, raises: [must('rig-a/abrasive-stopped', 'pot run empty', 3300)] },
];

/** Water, weather, and weeks. */
export const WEATHER: readonly Expectation[] = [
  { scenario: 'separator-overwhelmed', rigs: 2, fromS: -700, untilS: 1900, raises: [must('rig-a/line-wet', 'separator overwhelmed', 1500), must('rig-b/line-wet', 'aftercooler fouled', 1900)] },
  { scenario: 'freezing-line', rigs: 1, fromS: -600, untilS: 1900, raises: [must('rig-a/freezing', null, 330), must('rig-a/deadman-failed', 'ice in the control line', 1800)], may: ['rig-a/steel-margin', 'rig-a/deadman-slow'] },
  { scenario: 'front-arriving', rigs: 1, fromS: -300, untilS: 2400, raises: [must('rig-a/steel-margin', 'front arriving', 2400)] },
  { scenario: 'daylight-saving-night', rigs: 1, fromS: 13_800, untilS: 15_000, raises: [] },
  { scenario: 'fortnight', rigs: 1, fromS: 275_400, untilS: 276_500, raises: [must('rig-a/co-rising', 'exhaust in the intake', 300)], may: ['comp-1/intake-downwind-co'] },
];

/** Sensors, links and settings. */
export const SENSORS: readonly Expectation[] = [
  { scenario: 'gauge-stuck', rigs: 1, fromS: -300, untilS: 600, raises: [must('rig-a/supply-gauge-frozen', 'gauge stuck', 420)] },
  { scenario: 'gauge-drifting', rigs: 1, fromS: -300, untilS: 5100, raises: [must('rig-a/line-loss-off', 'gauge drifting', 5100)], knownGap: 'that it is the gauge and not the hose: one drifting end looks like a loss, so the response says to read a needle beside it' },
  { scenario: 'wrong-unit', rigs: 2, fromS: -120, untilS: 240, raises: [must('rig-b/supply-collapse', 'wrong unit', 10), must('rig-b/supply-pressure-low', 'wrong unit', 15)], may: ['rig-b/supply-low-while-triggered'], knownGap: 'that the unit is wrong: seven of something is a supply that is gone, and it errs on the loud side' },
  { scenario: 'network-cut', rigs: 2, fromS: -120, untilS: 600, raises: [must('rig-a/co-unknown', 'network cut', 45), must('rig-a/supply-pressure-unknown', 'network cut', 75), must('rig-a/co-unknown-long', 'network cut', 135)] },
  { scenario: 'clock-off', rigs: 1, fromS: -120, untilS: 300, raises: [] },
  { scenario: 'badly-set-up', rigs: 2, fromS: -600, untilS: 300, raises: [must('rig-a/supply-pressure-low', null, 600), must('rig-b/supply-pressure-low', null, 600), must('rig-a/nozzle-pressure-low', null, 600), must('rig-b/nozzle-pressure-low', null, 600)] },
];
