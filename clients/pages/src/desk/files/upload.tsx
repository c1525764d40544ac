import { useSignal } from '@preact/signals';
import { useLocation } from 'wouter-preact';
import { problemInWords } from '../../kit/parts/field.js';
import { service } from '../../kit/service/session.js';
import { tell } from '../../kit/texts/tell.js';
import type { SheetKind } from './file-types.js';
import { message } from './messages.js';

/** A large file takes its time on a slow line, and is then read as a whole. */
const SENDING_MS = 180_000;

function Chooser({
  isDisabled,
  onChoose,
}: {
  isDisabled: boolean;
  onChoose: (file: File | undefined) => void;
}) {
  return (
    <label>
      <span>{tell(message('desk-files-choose'))}</span>
      <input
        type="file"
        accept=".xlsx,.csv,.txt,.tsv,text/csv"
        aria-describedby="file-types"
        disabled={isDisabled}
        onChange={({ currentTarget }) => {
          onChoose(currentTarget.files?.[0]);
          // The same file can be chosen again after it was put right.
          currentTarget.value = '';
        }}
      />
    </label>
  );
}

/** Sends a file, and goes to what the service makes of it. */
function useSending(kind: SheetKind | undefined) {
  const [, go] = useLocation();
  const sending = useSignal<string | null>(null);
  const problem = useSignal<unknown>(null);
  const send = async (file: File | undefined): Promise<void> => {
    if (file === undefined || sending.value !== null) return;
    sending.value = file.name;
    problem.value = null;
    const content = new FormData();
    content.append('file', file);
    try {
      const request = { query: { kind }, body: { content }, timeoutMs: SENDING_MS };
      const { data } = await service().post('/v1/spreadsheets', request);
      go(`/files/${data.id}`);
    } catch (refused) {
      problem.value = refused;
      sending.value = null;
    }
  };
  return { sending, problem, send };
}

/**
 * Sends a file as it is, and goes to what the service makes of it.
 *
 * @param kind what the file brings; the service guesses it unless given
 */
export function Upload({ kind }: { kind?: SheetKind }) {
  const { sending, problem, send } = useSending(kind);
  const isOver = useSignal(false);
  const drop = (event: DragEvent): void => {
    event.preventDefault();
    isOver.value = false;
    void send(event.dataTransfer?.files[0]);
  };
  return (
    <div
      class={isOver.value ? 'upload over' : 'upload'}
      onDragOver={(event) => {
        event.preventDefault();
        isOver.value = true;
      }}
      onDragLeave={() => (isOver.value = false)}
      onDrop={drop}
    >
      <Chooser isDisabled={sending.value !== null} onChoose={(file) => void send(file)} />
      <p>{tell(message('desk-files-drop'))}</p>
      <p id="file-types" class="faint">
        {tell(message('desk-files-types'))}
      </p>
      <p role="status">
        {sending.value !== null && tell(message('desk-files-sending', { name: sending.value }))}
      </p>
      {problem.value !== null && (
        <p class="fault" role="alert">
          {problemInWords(problem.value)}
        </p>
      )}
    </div>
  );
}
