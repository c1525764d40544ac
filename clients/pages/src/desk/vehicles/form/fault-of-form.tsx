import { ProblemError } from '../../../../../typescript/src/client.js';
import { problemInWords } from '../../../kit/parts/field.js';
import { FIELDS } from './draft.js';

const SAID_BESIDE = new Set(FIELDS.flatMap((field) => [`/${field}`, `/${field}/value`]));

/** What no field of the form says beside itself. */
export function FaultOfForm({ problem }: { problem: unknown }) {
  if (problem === null) return null;
  const errors = problem instanceof ProblemError ? (problem.problem.errors ?? []) : [];
  if (errors.length > 0 && errors.every(({ pointer }) => pointer !== undefined && SAID_BESIDE.has(pointer)))
    return null;
  return (
    <p class="fault" role="alert">
      {problemInWords(problem)}
    </p>
  );
}
