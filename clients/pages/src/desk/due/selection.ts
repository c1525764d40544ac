import { type Signal, useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';

/** Which rows of a table are selected, and which of them the keyboard is on. */
export interface Selection {
  selected: Signal<ReadonlySet<string>>;
  /** The row that is in the order of tabs. */
  active: Signal<string | null>;
  /** Selects or leaves a row; with `toHere`, all between it and the one last touched. */
  touch: (id: string, isSelected: boolean, toHere: boolean) => void;
  all: (isSelected: boolean) => void;
  keys: (event: KeyboardEvent) => void;
}

const STEPS: Record<string, (at: number, last: number) => number> = {
  ArrowDown: (at, last) => Math.min(at + 1, last),
  ArrowUp: (at) => Math.max(at - 1, 0),
  Home: () => 0,
  End: (_at, last) => last,
};

/** @param ids of the rows, in the order in which they are shown */
export function useSelection(ids: readonly string[]): Selection {
  const selected = useSignal<ReadonlySet<string>>(new Set());
  const active = useSignal<string | null>(null);
  const anchor = useRef<string | null>(null);
  const put = (some: readonly string[], isSelected: boolean): void => {
    const next = new Set(selected.peek());
    for (const id of some)
      if (isSelected) next.add(id);
      else next.delete(id);
    selected.value = next;
  };
  const touch: Selection['touch'] = (id, isSelected, toHere) => {
    const [from, to] = [ids.indexOf(anchor.current ?? id), ids.indexOf(id)].sort((a, b) => a - b);
    put(toHere && from !== undefined && from >= 0 ? ids.slice(from, (to ?? from) + 1) : [id], isSelected);
    anchor.current = id;
    active.value = id;
  };
  const keys = (event: KeyboardEvent): void => {
    const row = event.target instanceof Element ? event.target.closest('tr') : null;
    const id = row?.dataset.line;
    const step = STEPS[event.key];
    if (event.key === 'Escape') return put(ids, false);
    if (row === null || id === undefined || step === undefined) return;
    event.preventDefault();
    const next = ids[step(ids.indexOf(id), ids.length - 1)] ?? id;
    if (event.shiftKey) {
      put([id], true);
      touch(next, true, true);
    }
    active.value = next;
    // Whoever may only read has no box to select by: there, the link is the first.
    const first = row.closest('table')?.querySelector<HTMLElement>(`tr[data-line="${next}"] :is(input, a)`);
    first?.focus();
    first?.scrollIntoView({ block: 'nearest' });
  };
  return { selected, active, touch, all: (isSelected) => put(ids, isSelected), keys };
}
