import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { UnitSystem } from '../../../../../src/domain/quantities/measures.js';
import { ProblemError } from '../../../../typescript/src/client.js';
import { patchOf } from './changes.js';
import { differences } from './differences.js';
import { draftOf, valueOf } from './draft.js';
import { onTopOf } from './merge.js';
import type { Draft, Plain, Shape } from './shape.js';

export type Kept = Plain & { version: number };
export type Patch = Record<string, unknown>;

/** How a record is read and changed. */
export interface Endpoint {
  get: () => Promise<Kept>;
  patch: (patch: Patch, ifMatch: string) => Promise<Kept>;
  /** What a change would do, said in sentences. Nothing is kept. */
  tryOut?: (patch: Patch, ifMatch: string) => Promise<readonly string[]>;
}

/** A change that somebody has to agree to. */
export interface Asked {
  patch: Patch;
  changes: readonly string[];
  consequences: readonly string[];
}

export interface Editing {
  shape: Shape;
  record: Kept;
  /** Pointers of what is ready-made in a record. */
  marksOf: (record: Kept) => readonly string[];
  units: UnitSystem;
  endpoint: Endpoint;
  onKept: (record: Kept) => void;
}

const etag = ({ version }: { version: number }): string => `"${version}"`;

/** A record, and what is typed on top of it. */
function useDraft({ shape, record, marksOf, units }: Editing) {
  const base = useSignal({ record, draft: draftOf(shape, record, marksOf(record)) });
  const draft = useSignal<Draft>(base.value.draft);
  const beginWith = (kept: Kept): void => {
    draft.value = draftOf(shape, kept, marksOf(kept));
    base.value = { record: kept, draft: draft.value };
  };
  /** @returns how the record differs from what the form began with */
  const takeUp = (now: Kept): string[] => {
    const before = base.value.draft;
    const fresh = draftOf(shape, now, marksOf(now));
    base.value = { record: now, draft: fresh };
    draft.value = onTopOf(shape, fresh, before, draft.value);
    return differences(shape, before, fresh, units);
  };
  const changes = () => ({
    patch: patchOf(valueOf(shape, base.value.draft, units), valueOf(shape, draft.value, units)),
    changes: differences(shape, base.value.draft, draft.value, units),
  });
  return { base, draft, beginWith, takeUp, changes };
}

/** The state of a form that changes a record, and what it does. */
export function useRecord(editing: Editing) {
  const { endpoint, record, onKept } = editing;
  const { base, draft, beginWith, takeUp, changes } = useDraft(editing);
  const problem = useSignal<unknown>(null);
  const meanwhile = useSignal<readonly string[]>([]);
  const asked = useSignal<Asked | null>(null);
  const said = useSignal<'unchanged' | 'kept' | null>(null);
  useEffect(() => {
    if (record.version !== base.value.record.version) takeUp(record);
  }, [record.version]);
  const attempt = async (work: () => Promise<void>): Promise<void> => {
    problem.value = null;
    said.value = null;
    try {
      await work();
    } catch (refused) {
      asked.value = null;
      const isChanged = refused instanceof ProblemError && refused.status === 412;
      if (isChanged) meanwhile.value = takeUp(await endpoint.get());
      else problem.value = refused;
    }
  };
  const ask = (): Promise<void> =>
    attempt(async () => {
      const made = changes();
      if (Object.keys(made.patch).length === 0) said.value = 'unchanged';
      else {
        const consequences = (await endpoint.tryOut?.(made.patch, etag(base.value.record))) ?? [];
        asked.value = { ...made, consequences };
      }
    });
  const keep = ({ patch }: Asked): Promise<void> =>
    attempt(async () => {
      const kept = await endpoint.patch(patch, etag(base.value.record));
      asked.value = null;
      meanwhile.value = [];
      said.value = 'kept';
      beginWith(kept);
      onKept(kept);
    });
  return { draft, problem, meanwhile, asked, said, ask, keep };
}
