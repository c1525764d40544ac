import type { components } from '../../../../../typescript/src/client.js';
import { momentInWords } from '../../../kit/texts/dates.js';
import { tell } from '../../../kit/texts/tell.js';
import { ACTIONS, KINDS, message } from './messages.js';
import { changesInWords, type Reading } from './values.js';

export type Entry = components['schemas']['AuditEntryView'];

/** So many changes are shown at once; the others are folded up. */
const AT_ONCE = 5;

/** Who it was, by name where there is one. */
function actorInWords({ kind, id, name, person }: Entry['actor']): string {
  if (kind === 'service') return tell(message('desk-audit-by-service'));
  if (person !== null) return person.name;
  const called = { name: name ?? id };
  if (kind === 'sign-in') return tell(message('desk-audit-by-sign-in', called));
  if (kind === 'command') return tell(message('desk-audit-by-command', called));
  return kind === 'token' ? tell(message('desk-audit-by-token', called)) : called.name;
}

const kindInWords = (kind: string): string => {
  const known = KINDS.find((one) => one === kind);
  return known === undefined ? kind : tell(message(`desk-audit-kind-${known}`));
};

const actionInWords = (action: string): string => {
  const known = ACTIONS.find((one) => one === action);
  return known === undefined ? action : tell(message(`desk-audit-action-${known}`));
};

function Changes({ texts }: { texts: readonly string[] }) {
  const list = (some: readonly string[]) => (
    <ul>
      {some.map((text) => (
        <li key={text}>{text}</li>
      ))}
    </ul>
  );
  const rest = texts.slice(AT_ONCE);
  return (
    <>
      {list(texts.slice(0, AT_ONCE))}
      {rest.length > 0 && (
        <details>
          <summary>{tell(message('desk-audit-and-more', { count: rest.length }))}</summary>
          {list(rest)}
        </details>
      )}
    </>
  );
}

const COLUMNS = ['when', 'who', 'what', 'changes'] as const;

/** Entries of the audit, each with what changed from what to what. */
export function Entries({
  entries,
  reading,
  onOnly,
}: {
  entries: readonly Entry[];
  reading: Reading;
  onOnly: (subjectId: string) => void;
}) {
  if (entries.length === 0) return <p>{tell(message('desk-audit-none'))}</p>;
  return (
    <table class="audit">
      <caption class="unseen">{tell(message('desk-audit'))}</caption>
      <thead>
        <tr>
          {COLUMNS.map((column) => (
            <th key={column} scope="col">
              {tell(message(`desk-audit-${column}`))}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {entries.map(({ id, at, actor, kind, action, subjectId, subjectName, changes }) => (
          <tr key={id}>
            <td>{momentInWords(at, reading.timeZone)}</td>
            <td>{actorInWords(actor)}</td>
            <td>
              {tell(message('desk-audit-did', { action: actionInWords(action), kind: kindInWords(kind) }))}{' '}
              {subjectName !== null && <strong>{subjectName}</strong>}{' '}
              <button type="button" class="plain" onClick={() => onOnly(subjectId)}>
                {tell(message('desk-audit-only', { kind: subjectName ?? kindInWords(kind) }))}
              </button>
            </td>
            <td>
              <Changes texts={changesInWords(changes as Record<string, object>, reading)} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
