import { chmod, mkdir, readdir, rename } from 'node:fs/promises';
import { join } from 'node:path';
import { paper, picture } from '../../support/pictures.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';

describe('a voided attachment', () => {
  let service: Service;
  let fleet: FleetHandle;
  let reportId: string;
  let turn = 0;

  beforeAll(async () => {
    service = await startService({ at: NOW });
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    const vehicle = await fleet.manager.post('/v1/vehicles', { unitNumber: `V-${++turn}` });
    const report = await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId: vehicle.body.id, performedAt: '2026-04-01T10:00:00Z' },
      lines: [{ component: 'coolant', action: 'inspect' }],
    });
    reportId = report.body.id;
  });

  const attach = async (bytes: Buffer): Promise<{ id: string; href: string }> => {
    const { status, body } = await fleet.mechanic.send(
      ...(['POST', `/v1/job-reports/${reportId}/attachments`, bytes] as const),
      { 'content-type': 'application/octet-stream' },
    );
    expect(status).toBe(201);
    return body;
  };
  const voidIt = (href: string): Promise<Answer> =>
    fleet.manager.post(`${href}/void`, { reason: 'shows a face' });
  const folder = (): string => join(service.config.attachments.directory, fleet.fleetId);
  const kept = async (): Promise<string[]> => (await readdir(folder())).sort();
  const removedAt = async (id: string): Promise<string | null> => {
    const { rows } = await service.database.admin.query(
      'select bytes_removed_at from attachments where id = $1',
      [id],
    );
    return rows[0].bytes_removed_at?.toISOString() ?? null;
  };

  it('is gone from the store once the request is answered, and cannot be downloaded, whole or in part', async () => {
    const [photo, other] = [await attach(await picture('jpeg')), await attach(paper(1000))];
    const { headers } = await fleet.dashboard.get(photo.href);
    expect((await voidIt(photo.href)).status).toBe(200);
    expect(await kept()).not.toContain(photo.id);
    expect(await kept()).toContain(other.id);
    expect(await removedAt(photo.id)).toBe(new Date(NOW).toISOString());
    const kinds: Record<string, string>[] = [
      ...[{}, { range: 'bytes=0-9' }, { 'if-none-match': String(headers.get('etag')) }],
    ];
    for (const asked of kinds) {
      const gone = await fleet.dashboard.get(photo.href, asked);
      expect([gone.status, gone.body.type]).toEqual([410, '/problems/attachment-voided']);
      expect(gone.body.title).toBe('It is no longer kept');
      expect(gone.body.detail).toContain('shows a face');
    }
    expect((await fleet.dashboard.get(other.href)).status).toBe(200);
  });

  it('stays on record, and sending the same file again does not restore it', async () => {
    const bytes = await picture('png');
    const { id, href } = await attach(bytes);
    const voided = await voidIt(href);
    const again = await fleet.mechanic.send(
      ...(['POST', `/v1/job-reports/${reportId}/attachments`, bytes] as const),
      { 'content-type': 'image/png' },
    );
    expect([again.status, again.body]).toEqual([200, voided.body]);
    expect(await kept()).not.toContain(id);
    const report = await fleet.dashboard.get(`/v1/job-reports/${reportId}/attachments`);
    expect(report.body.items).toEqual([voided.body]);
  });

  it('whose bytes could not be removed is still refused, and the next upload removes them', async () => {
    const { id, href } = await attach(await picture('webp'));
    // Where the process does not see the files, as one that was given another directory.
    await rename(folder(), `${folder()}-elsewhere`);
    expect((await voidIt(href)).status).toBe(200);
    expect((await fleet.dashboard.get(href)).status).toBe(410);
    expect(await removedAt(id)).toBeNull();
    await rename(`${folder()}-elsewhere`, folder());
    expect(await kept()).toContain(id);
    await attach(paper(2000));
    expect(await kept()).not.toContain(id);
    expect(await removedAt(id)).not.toBeNull();
  });

  it('is found again if its process died before the removal, or if an older version voided it', async () => {
    const { id } = await attach(await picture('jpeg', { width: 33, height: 44 }));
    await service.database.admin.query(
      `update attachments set voided_at = now(), void_reason = '"died"' where id = $1`,
      [id],
    );
    expect(await kept()).toContain(id);
    await attach(paper(3000));
    expect(await kept()).not.toContain(id);
  });

  it('does not count as removed if the store refuses', async () => {
    const { id, href } = await attach(paper(4000));
    // A directory of that name cannot be removed as a file can, whoever asks.
    await rename(join(folder(), id), join(folder(), `${id}-aside`));
    await mkdir(join(folder(), id, 'full'), { recursive: true });
    await chmod(join(folder(), id), 0o700);
    expect((await voidIt(href)).status).toBe(200);
    expect(await removedAt(id)).toBeNull();
  });

  it('does not follow its report: a voided or replaced report keeps its evidence', async () => {
    const { id, href } = await attach(paper(5000));
    const voided = await fleet.manager.post(`/v1/job-reports/${reportId}/void`, { reason: 'wrong vehicle' });
    expect(voided.status).toBe(200);
    expect((await fleet.dashboard.get(href)).status).toBe(200);
    expect(await kept()).toContain(id);
    expect((await voidIt(href)).status).toBe(200);
    expect(await kept()).not.toContain(id);
  });
});
