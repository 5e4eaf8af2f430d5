import { readSetUp, type SetUp } from '../../domain/air/sizing/set-up.ts';
import type { Keep } from '../store/preferences.ts';

/** A set-up that somebody gave a name on this device. */
export interface KeptSetUp {
  readonly name: string;
  readonly setUp: SetUp;
}

const KEY = 'potside.set-ups';
/** More than anybody looks through. */
const MOST = 40;

export function readKept(keep: Keep | null): readonly KeptSetUp[] {
  try {
    const list: unknown = JSON.parse(keep?.getItem(KEY) ?? '[]');
    if (!Array.isArray(list)) return [];
    return list.flatMap((one: unknown) => {
      const { name, setUp } = (one ?? {}) as { name?: unknown; setUp?: unknown };
      return typeof name === 'string' && name !== '' ? [{ name, setUp: readSetUp(setUp) }] : [];
    });
  } catch {
    return [];
  }
}

/** False where the browser gives no storage. */
export function writeKept(keep: Keep | null, list: readonly KeptSetUp[]): boolean {
  try {
    if (!keep) return false;
    keep.setItem(KEY, JSON.stringify(list));
    return true;
  } catch {
    return false;
  }
}

/** With this one added, or changed where its name is known; the newest first. */
export function withKept(list: readonly KeptSetUp[], one: KeptSetUp): readonly KeptSetUp[] {
  return [one, ...list.filter(({ name }) => name !== one.name)].slice(0, MOST);
}
