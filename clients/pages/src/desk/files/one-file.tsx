import { useSignal } from '@preact/signals';
import { Link, useLocation } from 'wouter-preact';
import { Fault } from '../../kit/parts/fault.js';
import { Shown } from '../../kit/parts/loading.js';
import { Heading } from '../../kit/parts/shell.js';
import { tell } from '../../kit/texts/tell.js';
import { Checked, Download } from './checked.js';
import { Columns } from './columns.js';
import { type Draft, faultsAbout, isOpen } from './draft.js';
import { kindInWords, nameOf, SHEET_KINDS, type SheetFile } from './file-types.js';
import { message } from './messages.js';
import { Questions } from './questions.js';
import { Undo } from './undo.js';
import { type FileWork, useFileWork } from './use-file-work.js';

/** What the file as a whole is read as. */
function About({ file, onNow }: { file: SheetFile; onNow: FileWork['now'] }) {
  return (
    <>
      <div class="about-file">
        <label>
          <span>{tell(message('desk-files-holds'))}</span>
          <select
            value={file.kind}
            onChange={({ currentTarget }) =>
              void onNow({ kind: SHEET_KINDS.find((kind) => kind === currentTarget.value) })
            }
          >
            {SHEET_KINDS.map((kind) => (
              <option key={kind} value={kind}>
                {kindInWords(kind)}
              </option>
            ))}
          </select>
        </label>
      </div>
      <p>
        {tell(
          message('desk-file-read-as', {
            ...{ kind: kindInWords(file.kind), rows: file.rows, sheet: file.sheet },
          }),
        )}
      </p>
      {file.notices.length > 0 && (
        <ul class="dots" aria-label={tell(message('desk-file-notices'))}>
          {file.notices.map(({ text }) => (
            <li key={text}>{text}</li>
          ))}
        </ul>
      )}
    </>
  );
}

/** What was just taken, with the way back and the ways on. */
function Done({ file, work }: { file: SheetFile; work: FileWork }) {
  const [, go] = useLocation();
  const isUndoing = useSignal(false);
  const taken = work.taken.value;
  if (taken === null) return null;
  const { importId, accepted, held, rejected } = taken;
  return (
    <section aria-labelledby="done">
      <h2 id="done" tabIndex={-1}>
        {tell(message('desk-file-was-taken', { count: accepted + held }))}
      </h2>
      {rejected > 0 && (
        <>
          <p>{tell(message('desk-file-refused', { count: rejected }))}</p>
          <Download id={file.id} />
        </>
      )}
      <h3>{tell(message('desk-file-next'))}</h3>
      <ul class="dots">
        <li>
          <Link href="/due">{tell(message('desk-file-next-due'))}</Link>
        </li>
        <li>
          <Link href="/files">{tell(message('desk-files-back'))}</Link>
        </li>
      </ul>
      <p>{tell(message('desk-file-next-as'))}</p>
      <div class="ways-on">
        {SHEET_KINDS.filter((kind) => kind !== file.kind).map((kind) => (
          <button key={kind} type="button" onClick={() => void work.now({ kind })}>
            {kindInWords(kind)}
          </button>
        ))}
        <button type="button" class="plain" onClick={() => (isUndoing.value = true)}>
          {tell(message('desk-files-undo'))}
        </button>
      </div>
      {isUndoing.value && importId !== null && (
        <Undo
          taken={{ ...{ id: importId, fileName: file.fileName, kind: file.kind }, accepted }}
          onClose={(isUndone) => {
            isUndoing.value = false;
            if (isUndone) go('/files');
          }}
        />
      )}
    </section>
  );
}

/** Whether a problem is said beside a column or a question already. */
const isSaid = (problem: unknown, sent: Draft): boolean =>
  Object.keys(sent.columns).some((column) => faultsAbout(problem, sent, { column }).length > 0) ||
  Object.keys(sent.answers).some((question) => faultsAbout(problem, sent, { question }).length > 0);

function Reading({ file, work }: { file: SheetFile; work: FileWork }) {
  const { draft, problem, isBusy, checked } = work;
  const open = file.questions.filter((question) => isOpen(draft.value, question)).length;
  return (
    <>
      <Questions
        {...{ file, draft, problem: problem.value }}
        isMissingShown={work.isMissingShown.value}
        onNow={(change) => void work.now(change)}
      />
      <Columns {...{ file, draft, problem: problem.value }} />
      {problem.value !== null && !isSaid(problem.value, draft.value) && <Fault problem={problem.value} />}
      <div class="check-all">
        <p>{tell(message('desk-file-check-about'))}</p>
        <button type="button" disabled={isBusy.value} onClick={() => void work.check(file)}>
          {tell(message('desk-file-check'))}
        </button>
        <p role="status">
          {isBusy.value
            ? tell(message('desk-file-checking'))
            : work.isMissingShown.value && open > 0 && tell(message('desk-file-open', { count: open }))}
        </p>
      </div>
      {checked.value !== null && (
        <Checked id={file.id} outcome={checked.value} isBusy={isBusy.value} onTake={() => void work.take()} />
      )}
    </>
  );
}

/** A file: how it is understood, what is doubtful, whether its rows are good, and taking them. */
export function OneFile({ id }: { id: string }) {
  const work = useFileWork(id);
  return (
    <div class="files-view">
      <Shown state={work.state} again={work.reload}>
        {(file) => (
          <>
            <Heading>{nameOf(file)}</Heading>
            {!file.hasRows ? (
              <p>
                {tell(message('desk-file-gone'))}{' '}
                <Link href="/files">{tell(message('desk-files-back'))}</Link>
              </p>
            ) : work.taken.value !== null ? (
              <Done {...{ file, work }} />
            ) : (
              <>
                <About file={file} onNow={work.now} />
                <Reading {...{ file, work }} />
              </>
            )}
          </>
        )}
      </Shown>
    </div>
  );
}
