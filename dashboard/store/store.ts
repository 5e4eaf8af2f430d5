/** A value outside React that components subscribe to. */
export interface Store<T> {
  /** The newest value. */
  get(): T;
  /** The value as of the last notification: what a screen draws, so that one that redraws for another reason keeps the pace. */
  published(): T;
  set(next: T): void;
  update(change: (now: T) => T): void;
  subscribe(listener: () => void): () => void;
}

/** When listeners hear of a change; several changes before that are one. */
export type Schedule = (flush: () => void) => void;

const atOnce: Schedule = (flush) => flush();

export function createStore<T>(initial: T, schedule: Schedule = atOnce): Store<T> {
  let value = initial;
  let published = initial;
  let isScheduled = false;
  const listeners = new Set<() => void>();
  const flush = (): void => {
    isScheduled = false;
    published = value;
    for (const listener of [...listeners]) listener();
  };
  const set = (next: T): void => {
    if (Object.is(next, value)) return;
    value = next;
    if (isScheduled) return;
    isScheduled = true;
    schedule(flush);
  };
  return {
    get: () => value,
    published: () => published,
    set,
    update: (change) => set(change(value)),
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}
