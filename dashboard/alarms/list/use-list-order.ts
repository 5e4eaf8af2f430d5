import { type RefObject, useEffect, useReducer, useRef } from 'react';
import { EMPTY_ORDER, type ListOrder, isOutOfOrder, nextOrder } from '../next-order.ts';

export interface HeldOrder {
  readonly order: ListOrder;
  readonly isOutOfOrder: boolean;
  renew(): void;
}

/** A finger leaves no trace of where it is: after its last touch the reader gets this long. */
const AFTER_TOUCH_MS = 6_000;

/** The list's order, held while a pointer, a finger or the keyboard is in the list, or a card is open in it. */
export function useListOrder(keys: readonly string[], box: RefObject<HTMLElement | null>, hasOpenCard: boolean): HeldOrder {
  const [order, send] = useReducer(nextOrder, { ...EMPTY_ORDER, shown: keys, fresh: keys });
  const readers = useRef(new Set<string>());
  const text = keys.join('\n');

  const set = useRef((reader: string, isReading: boolean): void => {
    if (readers.current.has(reader) === isReading) return;
    if (isReading) readers.current.add(reader);
    else readers.current.delete(reader);
    send({ kind: readers.current.size > 0 ? 'hold' : 'release' });
  });
  useEffect(() => send({ kind: 'fresh', keys: text === '' ? [] : text.split('\n') }), [text]);
  useEffect(() => set.current('card', hasOpenCard), [hasOpenCard]);
  useEffect(() => {
    const element = box.current;
    if (!element) return;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const onEnter = (event: PointerEvent): void => {
      if (event.pointerType !== 'touch') set.current('pointer', true);
    };
    const onLeave = (event: PointerEvent): void => {
      if (event.pointerType !== 'touch') set.current('pointer', false);
    };
    const onDown = (event: PointerEvent): void => {
      if (event.pointerType !== 'touch') return;
      set.current('finger', true);
      clearTimeout(timer);
      timer = setTimeout(() => set.current('finger', false), AFTER_TOUCH_MS);
    };
    // A button that was clicked keeps the focus: only a focus that the browser shows means that somebody goes by keyboard.
    const onFocus = (): void => set.current('keyboard', element.querySelector(':focus-visible') !== null);
    const onBlur = (event: FocusEvent): void => {
      if (!(event.relatedTarget instanceof Node) || !element.contains(event.relatedTarget)) set.current('keyboard', false);
    };
    element.addEventListener('pointerenter', onEnter);
    // A pointer that was there before the list was has entered nothing; it reads as soon as it moves.
    element.addEventListener('pointermove', onEnter);
    element.addEventListener('pointerleave', onLeave);
    element.addEventListener('pointerdown', onDown);
    element.addEventListener('focusin', onFocus);
    element.addEventListener('focusout', onBlur);
    return () => {
      clearTimeout(timer);
      element.removeEventListener('pointerenter', onEnter);
      element.removeEventListener('pointermove', onEnter);
      element.removeEventListener('pointerleave', onLeave);
      element.removeEventListener('pointerdown', onDown);
      element.removeEventListener('focusin', onFocus);
      element.removeEventListener('focusout', onBlur);
    };
  }, [box]);
  return { order, isOutOfOrder: isOutOfOrder(order), renew: () => send({ kind: 'renew' }) };
}
