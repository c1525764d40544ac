import { useSignal } from '@preact/signals';
import { Link } from 'wouter-preact';
import type { components } from '../../../../typescript/src/client.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { service } from '../../kit/service/session.js';
import { dayOfInstant } from '../../kit/texts/dates.js';
import { tell } from '../../kit/texts/tell.js';
import { kindInWords, nameOf } from './file-types.js';
import { message } from './messages.js';

type Summary = components['schemas']['SpreadsheetSummary'];

const MOST = 200;

/** Asks before a file is removed. */
function Remove({ file, onClose }: { file: Summary; onClose: (isRemoved: boolean) => void }) {
  const problem = useSignal<unknown>(null);
  const remove = async (): Promise<void> => {
    try {
      await service().delete('/v1/spreadsheets/{id}', { path: { id: file.id } });
      onClose(true);
    } catch (refused) {
      problem.value = refused;
    }
  };
  const name = nameOf(file);
  return (
    <Dialog title={tell(message('desk-files-remove-of', { name }))} onClose={() => onClose(false)}>
      <p>{tell(message('desk-files-remove-what'))}</p>
      {problem.value !== null && <Fault problem={problem.value} />}
      <button type="button" onClick={() => void remove()}>
        {tell(message('desk-files-remove'))}
      </button>
    </Dialog>
  );
}

const COLUMNS = ['desk-files-file', 'desk-files-holds', 'desk-files-rows', 'desk-files-kept-until'] as const;

function Table({
  files,
  timeZone,
  onRemove,
}: {
  files: readonly Summary[];
  timeZone: string;
  onRemove: (file: Summary) => void;
}) {
  return (
    <table>
      <thead>
        <tr>
          {COLUMNS.map((column) => (
            <th key={column} scope="col" class={column === 'desk-files-rows' ? 'number' : undefined}>
              {tell(message(column))}
            </th>
          ))}
          <td />
        </tr>
      </thead>
      <tbody>
        {files.map((file) => (
          <tr key={file.id}>
            <th scope="row">
              <Link href={`/files/${file.id}`}>{nameOf(file)}</Link>
            </th>
            <td>{kindInWords(file.kind)}</td>
            <td class="number">{file.rows}</td>
            <td>{dayOfInstant(file.keptUntil, timeZone)}</td>
            <td>
              <button
                type="button"
                class="plain"
                aria-label={tell(message('desk-files-remove-of', { name: nameOf(file) }))}
                onClick={() => onRemove(file)}
              >
                {tell(message('desk-files-remove'))}
              </button>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The files whose rows are still kept here. */
export function Waiting({ timeZone }: { timeZone: string }) {
  const removing = useSignal<Summary | null>(null);
  const { state, reload } = useLoaded(async (client, signal) => {
    const query = { limit: String(MOST) };
    const { items } = (await client.get('/v1/spreadsheets', { query, signal })).data;
    return items.filter(({ hasRows }) => hasRows);
  }, []);
  return (
    <section aria-labelledby="waiting">
      <h2 id="waiting">{tell(message('desk-files-waiting'))}</h2>
      <Shown state={state} again={reload}>
        {(files) =>
          files.length === 0 ? (
            <p>{tell(message('desk-files-waiting-none'))}</p>
          ) : (
            <Table {...{ files, timeZone }} onRemove={(file) => (removing.value = file)} />
          )
        }
      </Shown>
      {removing.value !== null && (
        <Remove
          file={removing.value}
          onClose={(isRemoved) => {
            removing.value = null;
            if (isRemoved) reload();
          }}
        />
      )}
    </section>
  );
}
