import { ProblemError } from '../../../../typescript/src/faults.js';
import { message } from '../messages.js';
import { tell } from '../texts/tell.js';

/** Says in the service's own words what went wrong, or that it did not answer. */
export function Fault({ problem, again }: { problem: unknown; again?: () => void }) {
  const known = problem instanceof ProblemError ? problem.problem : null;
  return (
    <div class="fault" role="alert">
      <p>{known === null ? tell(message('page-no-answer')) : known.detail}</p>
      {known?.errors && (
        <ul class="dots">
          {known.errors.map(({ pointer, detail }) => (
            <li key={pointer}>
              <code>{pointer}</code> {detail}
            </li>
          ))}
        </ul>
      )}
      {again && (
        <button type="button" onClick={again}>
          {tell(message('page-try-again'))}
        </button>
      )}
    </div>
  );
}
