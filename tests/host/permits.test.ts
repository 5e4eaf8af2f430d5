import { expect, it } from 'vitest';
import { Permits } from '../../host/permits.ts';

it('lets so many at it at once, the others in order, and goes on after one that failed', async () => {
  const permits = new Permits(2);
  const done: number[] = [];
  let [now, most] = [0, 0];
  const work = (n: number): Promise<void> =>
    permits.use(async () => {
      most = Math.max(most, (now += 1));
      await new Promise((resolve) => setImmediate(resolve));
      now -= 1;
      if (n === 3) throw new Error('three');
      done.push(n);
    });
  const all = await Promise.allSettled([1, 2, 3, 4, 5, 6].map(work));
  expect(all.map(({ status }) => status)).toEqual(['fulfilled', 'fulfilled', 'rejected', 'fulfilled', 'fulfilled', 'fulfilled']);
  expect([most, done]).toEqual([2, [1, 2, 4, 5, 6]]);
  await work(7);
  expect(done.at(-1)).toBe(7);
});
