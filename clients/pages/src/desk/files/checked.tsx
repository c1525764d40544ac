import { useSignal } from '@preact/signals';
import { Fault } from '../../kit/parts/fault.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import type { Checked as Outcome } from './file-types.js';
import { message } from './messages.js';

/** Every row is checked again for the file of refused rows. */
const CHECKING_MS = 180_000;

const HEADS = [
  ...['desk-file-error-row', 'desk-file-error-column', 'desk-file-error-value', 'desk-file-error-why'],
] as const;

function Errors({ errors }: Pick<Outcome, 'errors'>) {
  return (
    <table class="errors">
      <caption>{tell(message('desk-file-errors'))}</caption>
      <thead>
        <tr>
          {HEADS.map((head) => (
            <th key={head} scope="col">
              {tell(message(head))}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {errors.map(({ line, column, value, detail }) => (
          <tr key={`${line}-${column}-${detail}`}>
            <td>{line}</td>
            <td>{column}</td>
            <td>{value}</td>
            <td>{detail}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** Saves all refused rows, with what is wrong with each, as a file. */
export function Download({ id }: { id: string }) {
  const problem = useSignal<unknown>(null);
  const isBusy = useSignal(false);
  const save = async (): Promise<void> => {
    isBusy.value = true;
    problem.value = null;
    try {
      const request = { path: { id }, query: { bom: 'true' as const }, timeoutMs: CHECKING_MS };
      const { data } = await service().file('/v1/spreadsheets/{id}/refused-rows.csv', request);
      const link = document.createElement('a');
      link.href = URL.createObjectURL(data);
      link.download = 'refused-rows.csv';
      link.click();
      URL.revokeObjectURL(link.href);
    } catch (refused) {
      problem.value = refused;
    }
    isBusy.value = false;
  };
  return (
    <>
      <button type="button" disabled={isBusy} onClick={() => void save()}>
        {tell(message('desk-file-download'))}
      </button>
      {problem.value !== null && <Fault problem={problem.value} />}
    </>
  );
}

/** How many rows are new, known, held or refused, and what else is to be known. */
function Counts({ outcome }: { outcome: Outcome }) {
  const { accepted, duplicate, held, rejected, notices } = outcome;
  return (
    <ul class="dots">
      <li>{tell(message('desk-file-new', { count: accepted }))}</li>
      {duplicate > 0 && <li>{tell(message('desk-file-known', { count: duplicate }))}</li>}
      {held > 0 && <li>{tell(message('desk-file-held', { count: held }))}</li>}
      {rejected > 0 && <li>{tell(message('desk-file-refused', { count: rejected }))}</li>}
      {notices.map(({ line, column, detail }) => (
        <li key={`${line}-${column}-${detail}`}>{detail}</li>
      ))}
    </ul>
  );
}

/** What a check of all rows found, and the way to take those that are good. */
export function Checked({
  id,
  outcome,
  isBusy,
  onTake,
}: {
  id: string;
  outcome: Outcome;
  isBusy: boolean;
  onTake: () => void;
}) {
  const { rows, accepted, held, rejected, errors, errorsLeftOut } = outcome;
  const taken = accepted + held;
  return (
    <section aria-labelledby="checked" class="checked">
      <h2 id="checked" tabIndex={-1}>
        {tell(message('desk-file-checked'))}
      </h2>
      <p>{tell(message('desk-file-checked-rows', { rows }))}</p>
      <Counts outcome={outcome} />
      {rejected > 0 && (
        <>
          <Errors errors={errors} />
          {errorsLeftOut > 0 && <p>{tell(message('desk-file-errors-left', { count: errorsLeftOut }))}</p>}
          <Download id={id} />
        </>
      )}
      {taken === 0 ? (
        <p>{tell(message('desk-file-take-none'))}</p>
      ) : (
        <>
          <p>{tell(message('desk-file-take-about'))}</p>
          <button type="button" class="main" disabled={isBusy} onClick={onTake}>
            {tell(message(rejected > 0 ? 'desk-file-take-good' : 'desk-file-take', { count: taken }))}
          </button>
        </>
      )}
    </section>
  );
}
