import { useEffect, useState } from 'preact/hooks';
import type { WeepholeClient } from '../../../../../typescript/src/client.js';
import { Shown } from '../../../kit/parts/loading.js';
import { useLoaded } from '../../../kit/service/loaded.js';
import { momentInWords } from '../../../kit/texts/dates.js';
import { tell } from '../../../kit/texts/tell.js';
import type { Attachment } from '../types.js';
import { message } from '../words/messages.js';
import { Section } from './section.js';

/** Of how many of the latest reports the photos are shown. */
const LATEST = 20;

interface Photo {
  attachment: Attachment;
  /** When that was which it shows. */
  at: string;
  of: 'job' | 'report';
}

/** The photos of the latest jobs and reports, the latest first. */
async function photosOf(client: WeepholeClient, vehicleId: string, signal: AbortSignal): Promise<Photo[]> {
  const query = { vehicleId, limit: LATEST };
  const [jobs, defects] = await Promise.all([
    client.get('/v1/job-reports', { query, signal }),
    client.get('/v1/defects', { query, signal }),
  ]);
  const photos = [
    ...jobs.data.items.flatMap(({ attachments, performedAt }) =>
      attachments.map((attachment) => ({ attachment, at: performedAt, of: 'job' as const })),
    ),
    ...defects.data.items.flatMap(({ attachments, reportedAt }) =>
      attachments.map((attachment) => ({ attachment, at: reportedAt, of: 'report' as const })),
    ),
  ];
  return photos
    .filter(({ attachment }) => attachment.voided === null)
    .sort((a, b) => Date.parse(b.at) - Date.parse(a.at));
}

/** The bytes of an attachment, behind an address of this page. */
function useFile({ id, jobReportId, defectId }: Attachment): string | null {
  const { state } = useLoaded(
    async (client, signal) => {
      const of = jobReportId ?? defectId ?? '';
      const path = { id: of, attachmentId: id };
      const asked =
        jobReportId === null
          ? client.file('/v1/defects/{id}/attachments/{attachmentId}', { path, signal })
          : client.file('/v1/job-reports/{id}/attachments/{attachmentId}', { path, signal });
      return (await asked).data;
    },
    [id],
  );
  const blob = state.value.value;
  const [address, setAddress] = useState<string | null>(null);
  useEffect(() => {
    if (blob === null) return;
    const made = URL.createObjectURL(blob);
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [blob]);
  return address;
}

function Picture({ photo: { attachment, at, of }, timeZone }: { photo: Photo; timeZone: string }) {
  const address = useFile(attachment);
  const when = { at: momentInWords(at, timeZone) };
  const name = tell(
    of === 'job' ? message('desk-photo-of-job', when) : message('desk-photo-of-report', when),
  );
  const isPicture = attachment.mediaType !== 'application/pdf';
  return (
    <li>
      {address !== null && (
        <a
          href={address}
          target="_blank"
          rel="noopener"
          download={isPicture ? undefined : `${attachment.id}.pdf`}
        >
          {isPicture ? <img src={address} alt={name} /> : name}
        </a>
      )}
      {isPicture && <p class="faint">{name}</p>}
    </li>
  );
}

/** Photos and documents that came with jobs and reports. Nothing while there are none. */
export function Photos({ id, timeZone }: { id: string; timeZone: string }) {
  const { state, reload } = useLoaded((client, signal) => photosOf(client, id, signal), [id]);
  return (
    <Section title={tell(message('desk-photos'))}>
      <Shown state={state} again={reload}>
        {(photos) =>
          photos.length === 0 ? (
            <p>{tell(message('desk-photos-none'))}</p>
          ) : (
            <ul class="photos">
              {photos.map((photo) => (
                <Picture key={photo.attachment.id} {...{ photo, timeZone }} />
              ))}
            </ul>
          )
        }
      </Shown>
    </Section>
  );
}
