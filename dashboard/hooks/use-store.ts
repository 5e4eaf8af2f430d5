import { useCallback, useSyncExternalStore } from 'react';
import type { Store } from '../store/store.ts';

export function useStore<T>(store: Store<T>): T {
  return useSyncExternalStore(store.subscribe, store.published);
}

/**
 * As much of a store as a component shows: it is drawn anew only when that has changed. `select` must give the same value again for
 * the same state, so a primitive or a part of the state, nothing made afresh.
 */
export function useSelected<T, S>(store: Store<T>, select: (state: T) => S): S {
  return useSyncExternalStore(store.subscribe, () => select(store.published()));
}

/** A primitive worked out from several stores, whichever of them changes. */
export function useWorkedOut<S extends string | number | boolean | null>(first: Store<unknown>, second: Store<unknown>, workOut: () => S): S {
  const subscribe = useCallback(
    (listener: () => void) => {
      const leave = [first.subscribe(listener), second.subscribe(listener)];
      return () => leave.forEach((one) => one());
    },
    [first, second],
  );
  return useSyncExternalStore(subscribe, workOut);
}
