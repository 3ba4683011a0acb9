'use client';
import { useLayoutEffect, useState, type RefObject } from 'react';

/** Width of a box in CSS pixels, followed as it changes; 0 until it is laid out, and while it is hidden. */
export function useWidth(box: RefObject<HTMLElement | null>): number {
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const element = box.current;
    if (element === null) return undefined;
    const measure = () => { setWidth(element.clientWidth); };
    measure(); // before the first frame
    const observer = new ResizeObserver(measure);
    observer.observe(element);
    return () => { observer.disconnect(); };
  }, [box]);
  return width;
}
