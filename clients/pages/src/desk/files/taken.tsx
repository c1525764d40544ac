import { type Signal, useSignal } from '@preact/signals';
import { Shown } from '../../kit/parts/loading.js';
import { type Loaded, useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { dayOfInstant, momentInWords } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { kindInWords, nameOf, type Taken as TakenFile } from './file-types.js';
import { message } from './messages.js';
import { Undo } from './undo.js';

const PAGE = 25;

interface TakenFiles {
  items: readonly TakenFile[];
  next: string | null;
}

/** Adds the files that follow. */
async function loadMore(state: Signal<Loaded<TakenFiles>>): Promise<void> {
  const shown = state.peek().value;
  if (shown === null || shown.next === null) return;
  try {
    const query = { limit: String(PAGE), cursor: shown.next };
    const { data } = await service().get('/v1/imports', { query });
    state.value = { is: 'there', value: { items: [...shown.items, ...data.items], next: data.next } };
  } catch (problem) {
    state.value = { is: 'failed', value: shown, problem };
  }
}

function Row({ file, timeZone, onUndo }: { file: TakenFile; timeZone: string; onUndo: () => void }) {
  const { accepted, duplicate, rejected, undone } = file;
  const name = nameOf(file);
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{kindInWords(file.kind)}</td>
      <td>{momentInWords(file.importedAt, timeZone)}</td>
      <td>{tell(message('desk-files-counts', { accepted, duplicate, rejected }))}</td>
      <td>
        {undone === null ? (
          <button
            type="button"
            class="plain"
            aria-label={tell(message('desk-files-undo-of', { name }))}
            onClick={onUndo}
          >
            {tell(message('desk-files-undo'))}
          </button>
        ) : (
          tell(message('desk-files-undone', { on: dayOfInstant(undone.at, timeZone) }))
        )}
      </td>
    </tr>
  );
}

const COLUMNS = ['desk-files-file', 'desk-files-holds', 'desk-files-taken-at', 'desk-files-outcome'] as const;

function Table({
  files,
  timeZone,
  onUndo,
}: {
  files: readonly TakenFile[];
  timeZone: string;
  onUndo: (file: TakenFile) => void;
}) {
  if (files.length === 0) return <p>{tell(message('desk-files-taken-none'))}</p>;
  return (
    <table>
      <thead>
        <tr>
          {COLUMNS.map((column) => (
            <th key={column} scope="col">
              {tell(message(column))}
            </th>
          ))}
          <td />
        </tr>
      </thead>
      <tbody>
        {files.map((file) => (
          <Row key={file.id} {...{ file, timeZone }} onUndo={() => onUndo(file)} />
        ))}
      </tbody>
    </table>
  );
}

/** What was taken, by this page or by a program, each with the way to take it back. */
export function Taken({ timeZone }: { timeZone: string }) {
  const undoing = useSignal<TakenFile | null>(null);
  const { state, reload } = useLoaded<TakenFiles>(
    async (client, signal) =>
      (await client.get('/v1/imports', { query: { limit: String(PAGE) }, signal })).data,
    [],
  );
  return (
    <section aria-labelledby="taken">
      <h2 id="taken">{tell(message('desk-files-taken'))}</h2>
      <Shown state={state} again={reload}>
        {({ items, next }) => (
          <>
            <Table {...{ files: items, timeZone }} onUndo={(file) => (undoing.value = file)} />
            {next !== null && (
              <button type="button" onClick={() => void loadMore(state)}>
                {tell(message('desk-files-more'))}
              </button>
            )}
          </>
        )}
      </Shown>
      {undoing.value !== null && (
        <Undo
          taken={undoing.value}
          onClose={(isUndone) => {
            undoing.value = null;
            if (isUndone) reload();
          }}
        />
      )}
    </section>
  );
}
