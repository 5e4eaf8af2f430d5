import { type RefObject, useEffect } from 'react';

/** Closes what is open when a person touches elsewhere or presses Escape. */
export function useCloseElsewhere(box: RefObject<HTMLElement | null>, close: () => void): void {
  useEffect(() => {
    const onEvent = (event: Event): void => {
      const isElsewhere = event instanceof PointerEvent && event.target instanceof Node && !box.current?.contains(event.target);
      if (isElsewhere || (event instanceof KeyboardEvent && event.key === 'Escape')) close();
    };
    document.addEventListener('pointerdown', onEvent);
    document.addEventListener('keydown', onEvent);
    return () => {
      document.removeEventListener('pointerdown', onEvent);
      document.removeEventListener('keydown', onEvent);
    };
  });
}
