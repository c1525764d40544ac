import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { message as kitMessage } from '../../kit/messages.js';
import { Dialog } from '../../kit/parts/dialog.js';
import { Shown } from '../../kit/parts/loading.js';
import { useLoaded } from '../../kit/service/loaded.js';
import { mayManage } from '../../kit/service/me.js';
import { tell } from '../../kit/texts/tell.js';
import { message } from './messages.js';
import { VoidPhoto } from './void-questions.js';
import { reasonInWords, type Report } from './words.js';

type Attachment = Report['attachments'][number];

/** The address of an attachment's file in this page, as long as it is shown. */
function useFile({ id, jobReportId }: Attachment) {
  const { state, reload } = useLoaded(
    async (client, signal) => {
      const path = { id: jobReportId ?? '', attachmentId: id };
      const { data } = await client.file('/v1/job-reports/{id}/attachments/{attachmentId}', { path, signal });
      return URL.createObjectURL(data);
    },
    [id],
  );
  const url = state.value.value;
  useEffect(() => () => (url === null ? undefined : URL.revokeObjectURL(url)), [url]);
  return { state, reload };
}

/** A photo, small; it opens large. Another file is downloaded. */
function File({ attachment, number, all }: { attachment: Attachment; number: number; all: number }) {
  const isOpen = useSignal(false);
  const { state, reload } = useFile(attachment);
  const isImage = attachment.mediaType.startsWith('image/');
  const name = tell(message(isImage ? 'desk-report-photo' : 'desk-report-paper', { number, all }));
  return (
    <Shown state={state} again={reload}>
      {(url) =>
        isImage ? (
          <>
            <button type="button" class="thumbnail" onClick={() => (isOpen.value = true)}>
              <img src={url} alt={name} />
            </button>
            {isOpen.value && (
              <Dialog
                title={name}
                way={tell(kitMessage('page-close'))}
                onClose={() => (isOpen.value = false)}
              >
                <img class="large" src={url} alt={name} />
              </Dialog>
            )}
          </>
        ) : (
          <a href={url} download={`${attachment.id}.pdf`}>
            {name}
          </a>
        )
      }
    </Shown>
  );
}

/** The photos and papers of a report. */
export function Photos({
  report: { id, attachments },
  onVoided,
}: {
  report: Report;
  onVoided: (said: string | null) => void;
}) {
  const voiding = useSignal<number | null>(null);
  const all = attachments.length;
  const chosen = attachments[(voiding.value ?? 0) - 1];
  if (all === 0) return null;
  return (
    <section>
      <h2>{tell(message('desk-report-photos'))}</h2>
      <ul class="photos">
        {attachments.map((attachment, at) => (
          <li key={attachment.id}>
            {attachment.voided === null ? (
              <>
                <File {...{ attachment, all, number: at + 1 }} />
                {mayManage() && (
                  <button type="button" class="plain" onClick={() => (voiding.value = at + 1)}>
                    {tell(message('desk-report-void-photo', { number: at + 1 }))}
                  </button>
                )}
              </>
            ) : (
              <p>
                {tell(
                  message('desk-report-photo-voided', {
                    ...{ number: at + 1, reason: reasonInWords(attachment.voided) },
                  }),
                )}
              </p>
            )}
          </li>
        ))}
      </ul>
      {chosen !== undefined && voiding.value !== null && (
        <VoidPhoto
          {...{ id, attachmentId: chosen.id, number: voiding.value }}
          onClose={(said) => {
            voiding.value = null;
            onVoided(said);
          }}
        />
      )}
    </section>
  );
}
