import { describe, expect, it } from 'vitest';
import { type Following, type LinkEvent, WAITING, nextFollowing } from '../../dashboard/link/resync.ts';

const at = (revision: number): Following => ({ state: 'following', boot: 'b1', revision });
const push = (revision: number, boot = 'b1'): LinkEvent => ({ kind: 'push', boot, revision });

describe('resync', () => {
  it('applies the very next push of the same server run', () => {
    expect(nextFollowing(at(7), push(8))).toEqual({ next: at(8), effect: 'apply' });
  });

  it.each([
    ['a missed push', push(9)],
    ['a server that started anew', push(8, 'b2')],
    ['a server that started anew at the same number', push(7, 'b2')],
  ])('asks for a snapshot after %s, and applies nothing', (_, event) => {
    const { next, effect } = nextFollowing(at(7), event);
    expect(effect).toBe('ask-resync');
    expect(next).toMatchObject({ state: 'catching-up', because: 'hole' });
  });

  it('takes an equal revision as a sign of life and an older one as nothing', () => {
    expect(nextFollowing(at(7), push(7)).effect).toBe('sign-of-life');
    expect(nextFollowing(at(7), push(6))).toEqual({ next: at(7), effect: 'none' });
  });

  it('applies no push while catching up, not even one that would fit', () => {
    const doubtful = nextFollowing(at(7), push(9)).next;
    expect(nextFollowing(doubtful, push(8))).toEqual({ next: doubtful, effect: 'none' });
    expect(nextFollowing(doubtful, push(10)).effect).toBe('none');
  });

  it('follows again from a snapshot, whatever came before', () => {
    const snapshot: LinkEvent = { kind: 'snapshot', boot: 'b2', revision: 3 };
    for (const before of [WAITING, at(7), nextFollowing(at(7), push(9)).next]) {
      expect(nextFollowing(before, snapshot)).toEqual({ next: { state: 'following', boot: 'b2', revision: 3 }, effect: 'apply' });
    }
  });

  it('trusts nothing after the page was out of sight until a snapshot comes', () => {
    const { next, effect } = nextFollowing(at(7), { kind: 'distrust' });
    expect(effect).toBe('ask-resync');
    expect(nextFollowing(next, push(8)).effect).toBe('none');
  });

  it('keeps the gravest doubt', () => {
    const unseen = nextFollowing(at(7), { kind: 'distrust' }).next;
    expect(nextFollowing(unseen, { kind: 'disconnected' }).next).toMatchObject({ because: 'unseen' });
  });

  it('does not take a new connection for news: the state before it may be old', () => {
    expect(nextFollowing(at(7), { kind: 'connected' })).toMatchObject({ next: { state: 'catching-up', because: 'broken' }, effect: 'expect-snapshot' });
    expect(nextFollowing(WAITING, { kind: 'connected' })).toEqual({ next: WAITING, effect: 'expect-snapshot' });
  });
});
