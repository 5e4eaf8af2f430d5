import type { RigCheck } from '../../domain/site/site-readiness.ts';
import type { Action } from '../../domain/site/log.ts';
import { FoldedSite } from './folded-site.ts';
import { reading, testSite } from './site.ts';

type Said = Action extends infer A ? (A extends Action ? Omit<A, 'key' | 'by' | 'role' | 'from'> : never) : never;

const OWNERS: Readonly<Record<string, string>> = { 'compressor-pressure': 'comp-1', 'ambient-temperature': 'pier-9', 'ambient-humidity': 'pier-9' };

/** rig-a of the tests' site, taken through its check second by second. */
export class CheckedRig {
  readonly site: FoldedSite;
  atMs = 0;
  /** What the sensors show until told otherwise. */
  now: Record<string, number> = { 'supply-pressure': 0, 'pot-pressure': 0, 'nozzle-pressure': 0, 'compressor-pressure': 0, 'breathing-air-co': 1, 'remote-control': 0 };

  constructor(yaml?: string) {
    this.site = new FoldedSite(yaml === undefined ? testSite() : testSite(yaml));
    this.run(2);
    this.say({ kind: 'start-shift', rig: 'rig-a' });
    this.run(2);
  }

  /** So many seconds with these values from now on. */
  run(seconds: number, values: Record<string, number> = {}): this {
    this.now = { ...this.now, ...values };
    for (let second = 0; second < seconds; second += 1) {
      this.atMs += 1000;
      this.site.read(...Object.entries(this.now).map(([point, value]) => reading(point, value, this.atMs, { owner: OWNERS[point] ?? 'rig-a' })));
    }
    return this;
  }

  /** What somebody says; why it is refused, or null. */
  say(said: Said, by = 'Lee', role = 'tender'): string | null {
    return this.site.act(this.atMs, { ...said, key: `k${this.site.log.length}`, by, role, from: 'test' }).refusal;
  }

  sign(step: string, by = 'Lee'): string | null {
    return this.say({ kind: 'ready-sign', rig: 'rig-a', step, note: '' }, by);
  }

  get check(): RigCheck {
    const check = this.site.evaluator.readiness('rig-a', this.atMs);
    if (!check) throw new Error('rig-a is gone');
    return check;
  }

  /** Step → its state, of those before blasting that are not done. */
  get open(): string[] {
    return this.check.judged.because.map(({ step }) => step);
  }

  state(step: string): string | undefined {
    return this.check.judged.steps.find((one) => one.step.id === step)?.state;
  }

  /** Does all up to this step, as a crew that finds everything in order; each answer must be null. */
  throughTo(last: string): (string | null)[] {
    const answers: (string | null)[] = [];
    for (const [step, prepare] of ORDER) {
      prepare(this);
      answers.push(this.sign(step));
      if (step === last) break;
    }
    return answers;
  }
}

const press = (rig: CheckedRig): void => void rig.run(3, { 'remote-control': 1, 'nozzle-pressure': 92 }).run(1, { 'remote-control': 0, 'nozzle-pressure': 30 }).run(3, { 'nozzle-pressure': 0 });

const ORDER: readonly (readonly [step: string, prepare: (rig: CheckedRig) => void])[] = [
  ['ground', () => undefined],
  ['vessel', () => undefined],
  ['hoses', () => undefined],
  ['panel', (rig) => void rig.say({ kind: 'entry', rig: 'rig-a', entry: 'bump-done', value: null, place: '', text: '' })],
  ['compressor', (rig) => void rig.run(2, { 'compressor-pressure': 118 }).run(2, { 'compressor-pressure': 112 })],
  ['pressure', (rig) => {
    rig.run(2, { 'supply-pressure': 110 });
    rig.say({ kind: 'ready-hold', rig: 'rig-a', start: true, volume: 0.0566 });
    rig.run(62, { 'supply-pressure': 109.8 });
  }],
  ['air', (rig) => {
    rig.say({ kind: 'entry', rig: 'rig-a', entry: 'blotter', value: null, place: '', text: '' });
    rig.run(601);
  }],
  ['climate', () => undefined],
  ['abrasive', () => undefined],
  ['dress', (rig) => void rig.say({ kind: 'hood-in', rig: 'rig-a', name: 'Ray' })],
  ['handle', (rig) => {
    rig.run(2);
    press(rig);
    press(rig);
  }],
  ['metering', (rig) => void rig.say({ kind: 'entry', rig: 'rig-a', entry: 'needle', value: 93, place: '', text: '' })],
];
