import { type Signal, useSignal } from '@preact/signals';
import type { RefObject } from 'preact';
import { useRef } from 'preact/hooks';

export interface WhatWasDone {
  text: Signal<string>;
  place: RefObject<HTMLParagraphElement>;
  say: (text: string) => void;
}

/** Says what was done, and takes the focus there: what was acted on may be gone. */
export function useSaid(): WhatWasDone {
  const text = useSignal('');
  const place = useRef<HTMLParagraphElement>(null);
  const say = (said: string): void => {
    text.value = said;
    place.current?.focus();
  };
  return { text, place, say };
}

export const Said = ({ of: { text, place } }: { of: WhatWasDone }) => (
  <p ref={place} tabIndex={-1} role="status" class="said">
    {text.value}
  </p>
);
