import { type RefObject, useEffect, useRef } from 'react';
import { PLOT_LEFT_PX, PLOT_RIGHT_PX } from '../../chart/chart-options.ts';
import { type Stretch, pan, pinch, within, zoom } from './stretch.ts';

export interface Gestures {
  readonly stretch: Stretch;
  readonly bounds: Stretch;
  readonly onStretch: (stretch: Stretch) => void;
  readonly onCursor: (atMs: number | null) => void;
  /** A stretch that is being marked with the mouse, px; null when none is. */
  readonly onMark: (marked: readonly [fromPx: number, toPx: number] | null) => void;
}

/** A wheel's click of a hundred px zooms by a quarter. */
const WHEEL_ZOOM_PER_PX = 0.0022;
const CLICK_PX = 4;

/**
 * Mouse and fingers on the panels. Moving the mouse puts the cursor; dragging moves the stretch; dragging with Shift marks a new one;
 * the wheel with Ctrl, or two fingers, zoom. The plain wheel and a finger up or down scroll the page, as anywhere else.
 */
export function useGestures(box: RefObject<HTMLElement | null>, gestures: Gestures): void {
  const newest = useRef(gestures);
  newest.current = gestures;
  useEffect(() => {
    const element = box.current;
    if (!element) return;
    const fingers = new Map<number, number>();
    let start: { readonly stretch: Stretch; readonly px: readonly number[]; readonly isMarking: boolean } | null = null;
    let hasMoved = false;
    const width = (): number => Math.max(1, element.clientWidth - PLOT_LEFT_PX - PLOT_RIGHT_PX);
    const place = (event: MouseEvent): number => Math.min(width(), Math.max(0, event.clientX - element.getBoundingClientRect().left - PLOT_LEFT_PX));
    const instant = (px: number, { fromMs, toMs }: Stretch = newest.current.stretch): number => fromMs + (px / width()) * (toMs - fromMs);
    const begin = (isMarking: boolean): void => {
      start = { stretch: newest.current.stretch, px: [...fingers.values()], isMarking };
    };
    const onDown = (event: PointerEvent): void => {
      if (event.button !== 0) return;
      element.setPointerCapture(event.pointerId);
      fingers.set(event.pointerId, place(event));
      hasMoved = fingers.size > 1;
      begin(event.shiftKey && fingers.size === 1);
      if (event.pointerType === 'touch') newest.current.onCursor(instant(place(event)));
    };
    const onMove = (event: PointerEvent): void => {
      const { bounds, onStretch, onCursor, onMark } = newest.current;
      const px = place(event);
      if (!fingers.has(event.pointerId) || !start) {
        if (event.pointerType === 'mouse') onCursor(instant(px));
        return;
      }
      fingers.set(event.pointerId, px);
      const [first, second] = start.px;
      const [a, b] = [...fingers.values()];
      if (first === undefined || a === undefined) return;
      if (second !== undefined && b !== undefined) return onStretch(pinch(start.stretch, bounds, [first, second], [a, b], width()));
      if (Math.abs(a - first) > CLICK_PX) hasMoved = true;
      if (!hasMoved) return;
      if (start.isMarking) onMark([Math.min(first, a), Math.max(first, a)]);
      else onStretch(pan(start.stretch, bounds, instant(first, start.stretch) - instant(a, start.stretch)));
    };
    const onUp = (event: PointerEvent): void => {
      const { bounds, onStretch, onCursor, onMark } = newest.current;
      const [first] = start?.px ?? [];
      if (start?.isMarking && hasMoved && first !== undefined) {
        const px = place(event);
        onStretch(within({ fromMs: instant(Math.min(first, px)), toMs: instant(Math.max(first, px)) }, bounds));
      } else if (!hasMoved && fingers.has(event.pointerId)) onCursor(instant(place(event)));
      onMark(null);
      fingers.delete(event.pointerId);
      start = null;
      // The finger that stays goes on moving from where things are now.
      if (fingers.size > 0) begin(false);
    };
    const onWheel = (event: WheelEvent): void => {
      const { stretch, bounds, onStretch } = newest.current;
      const sideways = event.shiftKey ? event.deltaY : event.deltaX;
      if (event.ctrlKey) onStretch(zoom(stretch, bounds, Math.exp(event.deltaY * WHEEL_ZOOM_PER_PX), instant(place(event))));
      else if (Math.abs(sideways) > Math.abs(event.shiftKey ? 0 : event.deltaY)) onStretch(pan(stretch, bounds, (sideways / width()) * (stretch.toMs - stretch.fromMs)));
      else return;
      event.preventDefault();
    };
    const onLeave = (event: PointerEvent): void => {
      if (event.pointerType === 'mouse' && fingers.size === 0) newest.current.onCursor(null);
    };
    element.addEventListener('pointerdown', onDown);
    element.addEventListener('pointermove', onMove);
    element.addEventListener('pointerup', onUp);
    element.addEventListener('pointercancel', onUp);
    element.addEventListener('pointerleave', onLeave);
    // Not passive: a zoom must not zoom the whole page with it.
    element.addEventListener('wheel', onWheel, { passive: false });
    return () => {
      element.removeEventListener('pointerdown', onDown);
      element.removeEventListener('pointermove', onMove);
      element.removeEventListener('pointerup', onUp);
      element.removeEventListener('pointercancel', onUp);
      element.removeEventListener('pointerleave', onLeave);
      element.removeEventListener('wheel', onWheel);
    };
  }, [box]);
}
