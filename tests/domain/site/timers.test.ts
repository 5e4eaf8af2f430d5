import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Timers } from '../../../domain/site/timers.ts';

/** The plainest that could be right: a list, searched each time. */
class Plain {
  readonly due = new Map<string, number>();

  take(untilMs: number): { id: string; atMs: number } | undefined {
    const [first] = [...this.due].map(([id, atMs]) => ({ id, atMs })).sort((a, b) => a.atMs - b.atMs || (a.id < b.id ? -1 : 1));
    if (!first || first.atMs > untilMs) return undefined;
    this.due.delete(first.id);
    return first;
  }
}

const id = fc.integer({ min: 0, max: 30 }).map((n) => `timer ${n}`);
const atMs = fc.integer({ min: 0, max: 50 });
const step = fc.oneof(
  fc.record({ kind: fc.constant('set' as const), id, atMs: fc.oneof(atMs, fc.constant(null)) }),
  fc.record({ kind: fc.constant('sooner' as const), id, atMs }),
  fc.record({ kind: fc.constant('clear' as const), id }),
  fc.record({ kind: fc.constant('take' as const), untilMs: atMs }),
  fc.constant({ kind: 'reload' as const }),
);

describe('Timers', () => {
  it('are taken in order of time, then of name, whatever was set anew or cleared in between', () => {
    fc.assert(
      fc.property(fc.array(step, { maxLength: 400 }), (steps) => {
        let timers = new Timers();
        const plain = new Plain();
        for (const one of steps) {
          if (one.kind === 'set') {
            timers.set(one.id, one.atMs);
            if (one.atMs === null) plain.due.delete(one.id);
            else plain.due.set(one.id, one.atMs);
          } else if (one.kind === 'sooner') {
            timers.setIfSooner(one.id, one.atMs);
            plain.due.set(one.id, Math.min(one.atMs, plain.due.get(one.id) ?? Number.POSITIVE_INFINITY));
          } else if (one.kind === 'clear') {
            timers.clear(one.id);
            plain.due.delete(one.id);
          } else if (one.kind === 'take') expect(timers.take(one.untilMs)).toEqual(plain.take(one.untilMs));
          else timers = Timers.load(timers.save());
          expect(timers.nextAtMs).toBe(Math.min(...plain.due.values()));
          expect(new Map(timers.save())).toEqual(plain.due);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('one that is put off again and again falls due once, at the last of its moments', () => {
    const timers = new Timers();
    for (let ms = 1; ms <= 100_000; ms += 1) timers.set('put off', ms);
    expect(timers.take(99_999)).toBeUndefined();
    expect(timers.take(100_000)).toEqual({ id: 'put off', atMs: 100_000 });
    expect(timers.nextAtMs).toBe(Number.POSITIVE_INFINITY);
  });
});
