import { signal, useSignal } from '@preact/signals';
import { Link } from 'wouter-preact';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';

interface Saved {
  name: string;
  /** The part of the address that holds the filters. */
  asked: string;
}

const KEPT_AS = 'weephole-due-filters';
const LONGEST_NAME = 40;

function kept(): Saved[] {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(KEPT_AS) ?? '[]');
    return Array.isArray(found) ? found.filter(isSaved) : [];
  } catch {
    return [];
  }
}

function isSaved(candidate: unknown): candidate is Saved {
  const { name, asked } = (candidate ?? {}) as Partial<Saved>;
  return typeof name === 'string' && typeof asked === 'string';
}

const saved = signal<readonly Saved[]>(kept());

function keep(all: readonly Saved[]): void {
  saved.value = all;
  localStorage.setItem(KEPT_AS, JSON.stringify(all));
}

function Entry({ name, asked, isShown }: Saved & { isShown: boolean }) {
  return (
    <li>
      <Link href={`/due?${asked}`} aria-current={isShown ? 'true' : undefined}>
        {name}
      </Link>
      <button
        type="button"
        class="plain"
        aria-label={tell(message('desk-due-filters-remove', { name }))}
        onClick={() => keep(saved.value.filter((one) => one.name !== name))}
      >
        ✕
      </button>
    </li>
  );
}

function Naming({ asked, onDone }: { asked: string; onDone: () => void }) {
  const name = useSignal('');
  const submit = (event: Event): void => {
    event.preventDefault();
    const given = name.value.trim();
    if (given === '') return;
    keep([...saved.value.filter((one) => one.name !== given), { name: given, asked }]);
    onDone();
  };
  return (
    <form class="naming" onSubmit={submit}>
      <label>
        <span>{tell(message('desk-due-filters-name'))}</span>
        <input
          required
          maxLength={LONGEST_NAME}
          autocomplete="off"
          value={name}
          onInput={({ currentTarget }) => (name.value = currentTarget.value)}
        />
      </label>
      <button type="submit">{tell(message('desk-due-filters-keep'))}</button>
    </form>
  );
}

/**
 * Filters with a name, kept on this browser. A name that is given again stands for the new filters.
 *
 * @param asked the part of the address that holds the filters shown
 */
export function SavedFilters({ asked }: { asked: string }) {
  const isNaming = useSignal(false);
  const isKept = saved.value.some((one) => one.asked === asked);
  return (
    <div class="saved" role="group" aria-label={tell(message('desk-due-filters-saved'))}>
      <ul>
        {saved.value.map((one) => (
          <Entry key={one.name} {...one} isShown={one.asked === asked} />
        ))}
      </ul>
      {isNaming.value && !isKept && <Naming asked={asked} onDone={() => (isNaming.value = false)} />}
      {!isNaming.value && !isKept && asked !== '' && (
        <button type="button" class="plain" onClick={() => (isNaming.value = true)}>
          {tell(message('desk-due-filters-keep-these'))}
        </button>
      )}
    </div>
  );
}
