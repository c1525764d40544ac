import { type Signal, useSignal, useSignalEffect } from '@preact/signals';
import type { components } from '../../../../typescript/src/client.js';
import { type Loaded, useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { type Draft, isChanged, isOpen, mappingOf, NO_CHANGE } from './draft.js';
import type { Checked, SheetFile } from './file-types.js';

/** A large file takes its time. */
const CHECKING_MS = 180_000;

type Change = Partial<components['schemas']['MappingInput']>;

/** What is done with a file, and how far it is. */
export interface FileWork {
  state: Signal<Loaded<SheetFile>>;
  draft: Signal<Draft>;
  problem: Signal<unknown>;
  isBusy: Signal<boolean>;
  isMissingShown: Signal<boolean>;
  checked: Signal<Checked | null>;
  taken: Signal<Checked | null>;
  reload: () => void;
  /** Sends a change at once. What was changed and not sent is dropped, for it depends on this. */
  now: (change: Change) => Promise<void>;
  /** Sends what was changed, and checks every row unless a question is open. */
  check: (file: SheetFile) => Promise<void>;
  take: () => Promise<void>;
}

/** The first question that needs an answer. */
const OPEN =
  '[data-open=true] fieldset:not(:has(:checked)) input, [data-open=true]:not(:has(fieldset)) input';

/** Moves the focus to what has just been shown. */
function focusOn(selector: string): void {
  requestAnimationFrame(() => document.querySelector<HTMLElement>(selector)?.focus());
}

const tryOut = async (id: string): Promise<Checked> => {
  const request = { path: { id }, query: { partial: 'true' as const }, timeoutMs: CHECKING_MS };
  return (await service().post('/v1/spreadsheets/{id}/dry-run', request)).data;
};

/** The rows stay here: the refused ones can be saved, and the others taken as another kind. */
const takeAll = async (id: string): Promise<Checked> => {
  const query = { partial: 'true' as const, keep: 'true' as const };
  const request = { path: { id }, query, timeoutMs: CHECKING_MS };
  return (await service().post('/v1/spreadsheets/{id}/take', request)).data;
};

function useProgress() {
  const draft = useSignal(NO_CHANGE);
  const problem = useSignal<unknown>(null);
  const isBusy = useSignal(false);
  const isMissingShown = useSignal(false);
  const checked = useSignal<Checked | null>(null);
  const taken = useSignal<Checked | null>(null);
  // What was found is void once something is read otherwise.
  useSignalEffect(() => {
    if (isChanged(draft.value)) checked.value = null;
  });
  const busy = async (act: () => Promise<void>): Promise<void> => {
    isBusy.value = true;
    problem.value = null;
    try {
      await act();
    } catch (refused) {
      problem.value = refused;
    }
    isBusy.value = false;
  };
  return { draft, problem, isBusy, isMissingShown, checked, taken, busy };
}

export function useFileWork(id: string): FileWork {
  const path = { id };
  const { state, reload } = useLoaded(
    async (client, signal) => (await client.get('/v1/spreadsheets/{id}', { path, signal })).data,
    [id],
  );
  const { busy, ...progress } = useProgress();
  const { draft, isMissingShown, checked, taken } = progress;
  const send = async (body: Change): Promise<SheetFile> => {
    const { data } = await service().patch('/v1/spreadsheets/{id}/mapping', { path, body });
    state.value = { is: 'there', value: data };
    draft.value = NO_CHANGE;
    return data;
  };
  return {
    ...{ ...progress, state, reload },
    now: (change) =>
      busy(async () => {
        taken.value = null;
        checked.value = null;
        isMissingShown.value = false;
        await send(change);
      }),
    check: (file) =>
      busy(async () => {
        checked.value = null;
        isMissingShown.value = true;
        const isAsking = ({ questions }: SheetFile): boolean =>
          questions.some((question) => isOpen(draft.value, question));
        if (isAsking(file)) return focusOn(OPEN);
        // What was changed may lead to other questions.
        const now = isChanged(draft.value) ? await send(mappingOf(draft.value)) : file;
        if (isAsking(now)) return focusOn(OPEN);
        checked.value = await tryOut(id);
        focusOn('#checked');
      }),
    take: () =>
      busy(async () => {
        taken.value = await takeAll(id);
        checked.value = null;
        focusOn('#done');
      }),
  };
}
