import { type RefObject, useLayoutEffect, useRef, useState } from 'react';

export interface Size {
  readonly width: number;
  readonly height: number;
}

/** The size an element has now, in whole pixels; changes below two pixels are noise of the layout. */
export function useSize<E extends HTMLElement>(): [RefObject<E | null>, Size] {
  const ref = useRef<E>(null);
  const [size, setSize] = useState<Size>({ width: 0, height: 0 });
  useLayoutEffect(() => {
    const element = ref.current;
    if (!element) return;
    const measure = (): void => {
      const width = Math.round(element.clientWidth);
      const height = Math.round(element.clientHeight);
      setSize((was) => (Math.abs(was.width - width) < 2 && Math.abs(was.height - height) < 2 ? was : { width, height }));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [ref, size];
}
