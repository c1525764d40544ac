import { useEffect, useRef } from 'preact/hooks';
import { tell } from '../../kit/texts/tell.js';
import { isEmpty, newEntry } from './draft.js';
import { faultsAt, faultsWithin } from './faults.js';
import { type Filling, fillingOf } from './filling.js';
import { Leaf } from './leaf.js';
import { message } from './messages.js';
import type { Draft, GroupPart, ListPart, Shape } from './shape.js';

function Said({ faults }: { faults: readonly string[] }) {
  return faults.length === 0 ? null : <p class="fault">{faults.join(' ')}</p>;
}

function Group({ part, at, filling }: { part: GroupPart; at: string; filling: Filling }) {
  const { draft, faults, onChange } = filling;
  const group = draft.groups[part.name];
  const isOpen = group !== undefined && !isEmpty(part.shape, group);
  // It stays open while its last value is being typed over.
  const wasOpen = useRef(false);
  wasOpen.current ||= isOpen || faultsWithin(faults, at).length > 0;
  if (group === undefined) return null;
  const parts = (
    <>
      <Said faults={faultsAt(faults, at)} />
      <Parts
        {...{ shape: part.shape, at }}
        filling={fillingOf(group, filling, (next) =>
          onChange({ ...draft, groups: { ...draft.groups, [part.name]: next } }),
        )}
      />
    </>
  );
  if (part.isRequired)
    return (
      <fieldset class="group">
        <legend>{tell(part.label)}</legend>
        {parts}
      </fieldset>
    );
  return (
    <details class="group" open={wasOpen.current}>
      <summary>{tell(part.label)}</summary>
      {parts}
    </details>
  );
}

function Entry({
  part,
  at,
  filling,
  onRemove,
}: {
  part: ListPart;
  at: string;
  filling: Filling;
  onRemove: () => void;
}) {
  const { draft, faults } = filling;
  const here = useRef<HTMLDetailsElement>(null);
  const isNew = draft.given === null;
  // A new one gets the focus, so that it is filled in right away.
  useEffect(() => {
    if (isNew) here.current?.querySelector<HTMLElement>('input, select')?.focus();
  }, [isNew]);
  const title = part.titleOf(draft) || tell(message('desk-record-new-entry'));
  return (
    <li>
      <details ref={here} class="entry" open={isNew || faultsWithin(faults, at).length > 0}>
        <summary>
          {title}
          {part.gist && <span class="gist">{part.gist(draft, filling.units)}</span>}
          {draft.marks.includes('') && <span class="note">{tell(message('desk-record-marked'))}</span>}
        </summary>
        <Said faults={faultsAt(faults, at)} />
        <Parts {...{ shape: part.shape, at, filling }} />
        <button type="button" class="plain" onClick={onRemove}>
          {tell(message('desk-record-remove', { what: title }))}
        </button>
      </details>
    </li>
  );
}

function List({ part, at, filling }: { part: ListPart; at: string; filling: Filling }) {
  const { draft, faults, onChange } = filling;
  const entries = draft.lists[part.name] ?? [];
  const adding = useRef<HTMLButtonElement>(null);
  const change = (next: readonly Draft[]): void =>
    onChange({ ...draft, lists: { ...draft.lists, [part.name]: next } });
  return (
    <fieldset class="list">
      <legend>{tell(part.label)}</legend>
      <Said faults={faultsAt(faults, at)} />
      <ul>
        {entries.map((entry, index) => (
          <Entry
            key={entry.key}
            {...{ part, at: `${at}/${index}` }}
            filling={fillingOf(entry, filling, (next) =>
              change(entries.map((one) => (one.key === entry.key ? next : one))),
            )}
            onRemove={() => {
              change(entries.filter((one) => one.key !== entry.key));
              adding.current?.focus();
            }}
          />
        ))}
      </ul>
      <button ref={adding} type="button" onClick={() => change([...entries, newEntry(part)])}>
        {tell(part.add)}
      </button>
    </fieldset>
  );
}

/** The fields of a record, or of a part of one. */
export function Parts({ shape, at, filling }: { shape: Shape; at: string; filling: Filling }) {
  return (
    <div class="parts">
      {shape.map((part) => {
        const each = { at: `${at}/${part.name}`, filling };
        if (part.is === 'group') return <Group key={part.name} part={part} {...each} />;
        if (part.is === 'list') return <List key={part.name} part={part} {...each} />;
        return <Leaf key={part.name} part={part} {...each} />;
      })}
    </div>
  );
}
