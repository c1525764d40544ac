import { v7 as uuidv7 } from 'uuid';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { schema } from '../../../src/schema.js';
import { idOf, labelOf, open, sendForm } from '../../support/labels.js';
import { picture } from '../../support/pictures.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T20:00:00Z';
const TRIAGE = { decidedBy: 'badge 7', component: 'water-pump', action: 'replace', vehicleStays: true };

describe('reports by the label on a vehicle', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;
  let label: string;

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    ({ vehicleId } = await postScenario(fleet, { unitNumber: 'R-12' }));
    label = service.url + (await labelOf(fleet, vehicleId));
  });

  const defects = async (): Promise<any[]> => (await fleet.mechanic.get('/v1/defects')).body.items;
  const report = async (extra: object = {}) =>
    sendForm(label, { id: idOf(await open(label)), trouble: ['coolant-on-ground'], ...extra });

  it('are asked for on a small page with nothing but the unit number, and no script', async () => {
    const { manager } = fleet;
    await manager.patch(`/v1/vehicles/${vehicleId}`, { vin: '1M8GDM9AXKP042788', make: 'Ridgeline' });
    const { status, text, headers } = await open(label);
    expect(status).toBe(200);
    expect(text).toContain('<h1>R-12</h1>');
    expect(text).not.toMatch(/1M8GDM9AXKP042788|Ridgeline|Fleet |<script|style=|<img/);
    expect(Buffer.byteLength(text)).toBeLessThan(30_000);
    const policy = headers.get('content-security-policy') ?? '';
    expect(policy).toContain("default-src 'none'");
    expect(policy).not.toContain('script-src');
    expect(Object.fromEntries(headers)).toMatchObject({
      ...{ 'referrer-policy': 'no-referrer', 'cache-control': 'private, no-cache', 'content-language': 'en' },
      'content-type': 'text/html; charset=utf-8',
    });
    expect(headers.get('set-cookie')).toBeNull();
  });

  it('are asked for in the language of the browser, the one that was chosen, or that of the fleet', async () => {
    expect((await open(label, 'es-MX,es;q=0.9')).text).toContain('Anticongelante en el piso');
    expect((await open(`${label}?lang=en`, 'es')).text).toContain('Coolant on the ground');
    expect((await open(label, 'fr')).text).toContain('Coolant on the ground');
    await fleet.manager.patch('/v1/fleet', { language: 'es' });
    expect((await open(label, 'fr')).text).toContain('<html lang="es">');
  });

  it('become a defect at once, and whoever sent one sees that it is taken up and that the vehicle stays', async () => {
    const photo = { bytes: await picture('jpeg'), name: 'IMG_1.jpg', type: 'image/jpeg' };
    const sent = await report({
      trouble: ['warning-lamp', 'coolant-on-ground'],
      ...{ words: 'under <b>the pump</b>', name: 'Ada Pike', photo },
    });
    expect(sent.status).toBe(303);
    const followed = new URL(sent.headers.get('location') ?? '', service.url);
    expect(followed.host).toBe(new URL(service.url).host);
    const [defect] = await defects();
    expect(defect).toMatchObject({
      ...{ vehicleId, unitNumber: 'R-12', state: 'reported', source: 'driver', origin: 'label' },
      what: 'Coolant on the ground. Warning lamp is on. under <b>the pump</b>',
      ...{ component: 'coolant', reportedBy: 'Ada Pike', driving: { decision: 'undecided' } },
      followUps: [{ component: 'coolant', action: 'inspect', atOnce: true, dueOn: '2026-04-02' }],
      attachments: [{ mediaType: 'image/jpeg' }],
    });
    const first = await open(followed.href);
    expect([first.status, first.headers.get('cache-control')]).toEqual([200, 'no-store']);
    expect(first.text).toContain('Nobody has looked at it yet.');
    expect(first.text).toContain('Do not drive.');
    expect(first.text).toContain('under &lt;b&gt;the pump&lt;/b&gt;');
    expect(first.text).toContain('1 photo arrived');
    expect(first.text).not.toContain('Ada Pike');
    await fleet.mechanic.post(`/v1/defects/${defect.id}/triage`, TRIAGE);
    const second = await open(followed.href);
    expect(second.text).toContain('Taken up.');
    expect(second.text).toContain('The vehicle stays parked until the defect is repaired.');
    expect(second.text).not.toMatch(/badge 7|water|pump\/replace/);
    await fleet.mechanic.post('/v1/job-reports', {
      ...{
        vehicleId,
        performedAt: '2026-04-02T19:59:00Z',
        performedBy: 'badge 9',
        releasedForService: 'yes',
      },
      repairedDefects: [defect.id],
    });
    expect((await open(followed.href)).text).toContain('reports that it is repaired');
    const { url: databaseUrl } = service.database;
    const rebuilt = await rebuildAll({
      databaseUrl,
      schema,
      clock: service.clock,
      fleetIds: [fleet.fleetId],
    });
    expect(rebuilt.differences).toEqual([]);
  });

  it('say that they were dismissed', async () => {
    const { headers } = await report();
    const [{ id }] = await defects();
    await fleet.mechanic.post(`/v1/defects/${id}/dismiss`, {
      decidedBy: 'badge 7',
      reason: 'air conditioning',
    });
    const location = headers.get('location')?.replace('lang=en', 'lang=es');
    const { text } = await open(`${service.url}${location}`);
    expect(text).toContain('decidió que no hace falta repararlo');
    expect(text).not.toMatch(/badge 7|air conditioning/);
  });

  it('are told in the language of the fleet, whatever the language of the driver', async () => {
    await fleet.manager.patch('/v1/fleet', { language: 'es' });
    await report();
    expect((await defects())[0].what).toBe('Anticongelante en el piso');
  });

  it('count once when the form is sent again, with the photo that did not arrive the first time', async () => {
    const id = idOf(await open(label));
    const form = { id, trouble: ['belt-noise'] };
    const [first, second] = await Promise.all([sendForm(label, form), sendForm(label, form)]);
    expect([first.status, second.status]).toEqual([303, 303]);
    service.clock.moveTo('2026-04-02T21:00:00Z');
    const photo = { bytes: await picture('png'), name: 'a.png', type: 'image/png' };
    expect((await sendForm(label, { ...form, photo })).headers.get('location')).toBe(
      first.headers.get('location'),
    );
    const found = await defects();
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ id, attachments: [{ mediaType: 'image/png' }] });
  });

  it('can differ from the one that was sent with the same form, if the driver says so', async () => {
    const id = idOf(await open(label));
    await sendForm(label, { id, trouble: ['belt-noise'] });
    const again = await sendForm(label, { id, trouble: ['heater-cold'], words: 'since noon' });
    expect(again.status).toBe(409);
    expect(again.text).toContain('since noon');
    expect(again.text).toContain(`/${id}?lang=en`);
    expect(idOf(again)).not.toBe(id);
    expect((await sendForm(label, { id: idOf(again), trouble: ['heater-cold'] })).status).toBe(303);
    expect((await defects()).map(({ component }) => component).sort()).toEqual(['drive-belt', 'heater-core']);
  });

  it.each([
    ['nothing was tapped', { trouble: [] }, 'Tap what is wrong'],
    ['nothing known was tapped', { trouble: ['__proto__'] }, 'Tap what is wrong'],
    ['only something else was tapped', { trouble: ['something-else'], words: '' }, 'in a few words'],
    ['there are too many words', { words: 'x'.repeat(301) }, 'at most 300'],
    ['the name is too long', { name: 'x'.repeat(121) }, 'at most 120'],
  ])('are shown again with all that was typed when %s', async (_, extra, told) => {
    const answer = await report({ words: '"kept" & safe', ...extra });
    expect(answer.status).toBe(422);
    expect(answer.text).toContain(told);
    if (!('words' in extra)) expect(answer.text).toContain('&quot;kept&quot; &amp; safe');
    expect(await defects()).toEqual([]);
  });

  it.each([
    ['type', async () => Buffer.from('#!/bin/sh no picture '.repeat(300))],
    ['type', async () => (await picture('jpeg')).subarray(0, 900)],
    ['tooLarge', async () => Buffer.concat([await picture('png'), Buffer.alloc(10 * 1024 * 1024 + 1)])],
  ])('arrive without a photo that is refused (%s)', async (why, bytes) => {
    const sent = await report({ photo: { bytes: await bytes(), name: 'a.jpg', type: 'image/jpeg' } });
    expect(sent.status).toBe(303);
    expect(sent.headers.get('location')).toContain(`&photo=${why}`);
    expect(await defects()).toMatchObject([{ attachments: [] }]);
    const { text } = await open(service.url + sent.headers.get('location'));
    expect(text).toContain('Your report has arrived, the photo has not.');
  });

  it('have three photos at most', async () => {
    const form = { id: idOf(await open(label)), trouble: ['belt-noise'] };
    const whys: unknown[] = [];
    for (let at = 0; at < 4; at++) {
      const photo = { bytes: await picture('png', { width: 20 + at }), name: 'a.png', type: 'image/png' };
      const { headers } = await sendForm(label, { ...form, photo });
      whys.push(new URL(headers.get('location') ?? '', service.url).searchParams.get('photo'));
    }
    expect(whys).toEqual([null, null, null, 'tooMany']);
    expect((await defects())[0].attachments).toHaveLength(3);
  });

  it('stop when five of a vehicle wait, until somebody has looked', async () => {
    for (let at = 0; at < 5; at++) expect((await report()).status).toBe(303);
    const sixth = await report();
    expect([sixth.status, sixth.text.includes('Already reported. 5 reports')]).toEqual([409, true]);
    const found = await defects();
    expect(found).toHaveLength(5);
    await fleet.mechanic.post(`/v1/defects/${found[0].id}/triage`, TRIAGE);
    expect((await report()).status).toBe(303);
  });

  it('are told the same for codes that are unknown, revoked, renewed, switched off, or of a vehicle that is gone', async () => {
    const pageOf = async (address: string) => {
      const { status, text, headers } = await open(address);
      return [status, text.replaceAll(new URL(address).pathname, ''), headers.get('content-security-policy')];
    };
    const unknown = await pageOf(`${service.url}/l/${'A'.repeat(43)}`);
    expect(unknown[0]).toBe(404);
    expect(unknown[1]).toContain('This label does not work');
    const { manager } = fleet;
    expect(await pageOf(`${service.url}/l/x`)).toEqual(unknown);
    // The last character holds two bits that belong to nothing.
    const next = String.fromCharCode(label.charCodeAt(label.length - 1) + 1);
    expect(await pageOf(label.slice(0, -1) + next)).toEqual(unknown);
    await manager.patch('/v1/fleet', { driverLabels: 'none' });
    expect(await pageOf(label)).toEqual(unknown);
    expect((await sendForm(label, { id: uuidv7(), trouble: ['belt-noise'] })).status).toBe(404);
    await manager.patch('/v1/fleet', { driverLabels: 'defects' });
    expect((await open(label)).status).toBe(200);
    const renewed = await manager.post(`/v1/vehicles/${vehicleId}/label/renew`);
    expect(await pageOf(label)).toEqual(unknown);
    label = service.url + new URL(renewed.body.address).pathname;
    expect((await open(label)).status).toBe(200);
    await manager.patch(`/v1/vehicles/${vehicleId}`, { status: 'disposed' });
    expect(await pageOf(label)).toEqual(unknown);
    await manager.patch(`/v1/vehicles/${vehicleId}`, { status: 'in-use' });
    expect((await manager.delete(`/v1/vehicles/${vehicleId}/label`)).status).toBe(204);
    expect(await pageOf(label)).toEqual(unknown);
    expect(await defects()).toEqual([]);
  });

  it('are followed by the label of the same vehicle alone, and no other defect is', async () => {
    await report();
    const [{ id }] = await defects();
    const { body: posted } = await fleet.mechanic.post('/v1/defects', {
      ...{ vehicleId, reportedAt: NOW, source: 'driver', what: 'Cracked pulley' },
    });
    expect((await open(`${label}/${id}`)).status).toBe(200);
    expect((await open(`${label}/${posted.id}`)).status).toBe(404);
    expect((await open(`${label}/${uuidv7()}`)).status).toBe(404);
    expect((await open(`${label}/x`)).status).toBe(404);
    const { body: other } = await fleet.manager.post('/v1/vehicles', {
      ...{ unitNumber: 'R-13', duty: 'normal', status: 'in-use' },
    });
    const otherLabel = service.url + (await labelOf(fleet, other.id));
    expect((await open(`${otherLabel}/${id}`)).status).toBe(404);
    // The id of a defect that is known already makes no second one, and shows nothing of the first.
    const taken = await sendForm(otherLabel, { id: posted.id, trouble: ['belt-noise'] });
    expect(taken.status).toBe(409);
    expect(taken.text).not.toMatch(/Cracked|first report/);
  });

  it('that break off before the form is whole are refused, and say so', async () => {
    const boundary = 'b'.repeat(20);
    const response = await fetch(label, {
      method: 'POST',
      headers: { 'content-type': `multipart/form-data; boundary=${boundary}`, 'accept-language': 'en' },
      body: `--${boundary}\r\ncontent-disposition: form-data; name="trouble"\r\n\r\nbelt-no`,
    });
    const text = await response.text();
    expect([response.status, response.headers.get('content-type')]).toEqual([
      400,
      'text/html; charset=utf-8',
    ]);
    expect(text).toContain('That did not arrive');
    expect(await defects()).toEqual([]);
  });

  it('that break off within the photo have arrived without it, and say so', async () => {
    const boundary = 'b'.repeat(20);
    const field = (name: string, value: string) =>
      `--${boundary}\r\ncontent-disposition: form-data; name="${name}"\r\n\r\n${value}\r\n`;
    const head = `${field('id', uuidv7())}${field('trouble', 'belt-noise')}--${boundary}\r\ncontent-disposition: form-data; name="photo"; filename="a.png"\r\ncontent-type: image/png\r\n\r\n`;
    const cut = (await picture('png')).subarray(0, 20_000);
    const response = await fetch(label, {
      method: 'POST',
      headers: { 'content-type': `multipart/form-data; boundary=${boundary}` },
      body: new Uint8Array(Buffer.concat([Buffer.from(head), cut])),
      redirect: 'manual',
    });
    expect(response.status).toBe(303);
    expect(response.headers.get('location')).toMatch(/&photo=(broken|type)$/);
    expect(await defects()).toMatchObject([{ attachments: [] }]);
  });
});
