import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { SweepService } from '../../../src/telling/reminders/sweep/sweep.service.js';
import { untilWorkerIsIdle } from '../../support/idle.js';
import { seedDueLine } from '../../support/due-lines.js';
import { type MailServer, namedIn, type ReceivedMail, startMailServer } from '../../support/mail-server.js';
import { until } from '../../support/receiver.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const AT = '2026-04-06T16:00:00Z';
const DATES = { windowOpensOn: '2026-04-03', dueOn: '2026-04-06', lateOn: '2026-04-09' };

describe('reminders by e-mail', () => {
  let service: Service;
  let fleet: FleetHandle;
  let mail: MailServer;
  let target: any;

  beforeAll(async () => {
    mail = await startMailServer();
    service = await startService({
      withWorker: true,
      at: AT,
      env: { SMTP_URL: mail.url, MAIL_FROM: 'Fleet office <fleet@example.org>', SEND_TIMEOUT_SECONDS: '2' },
    });
    await service.app.get(FleetSchedule).beforeApplicationShutdown();
  });
  afterAll(async () => {
    await service.stop();
    await mail.close();
  });
  beforeEach(async () => {
    service.clock.moveTo(AT);
    mail.received.length = 0;
    mail.refuseRecipient = null;
    mail.refuseMessage = null;
    fleet = await service.newFleet();
    const made = await fleet.manager.post('/v1/reminder-targets', {
      kind: 'email',
      address: 'shop@example.com',
    });
    if (made.status !== 201) throw new Error(JSON.stringify(made.body));
    target = made.body;
  });

  const sweep = (): Promise<void> => service.app.get(SweepService).sweepFleet(fleet.fleetId);
  const reminders = async (): Promise<any[]> => (await fleet.manager.get('/v1/reminders')).body.items;
  const attempts = async (id: string): Promise<any[]> =>
    (await fleet.manager.get(`/v1/reminders/${id}/attempts`)).body.items;

  async function untilStatus(status: string): Promise<any> {
    let found: any;
    await until(async () => {
      found = (await reminders()).find(({ stage }) => stage === 'due');
      return found?.status === status;
    });
    return found;
  }

  async function untilAttempted(count: number): Promise<any[]> {
    let made: any[] = [];
    await until(async () => {
      const due = (await reminders()).find(({ stage }) => stage === 'due');
      made = due ? (await attempts(due.id)).filter(({ durationMs }) => durationMs !== null) : [];
      return made.length === count;
    });
    return made;
  }

  it('say what is due as plain text and HTML, from the configured address to the target’s', async () => {
    const line = await seedDueLine(service, fleet.fleetId, DATES);
    await sweep();
    const [message] = (await mail.untilReceived(1)) as [ReceivedMail];
    const sent = await untilStatus('sent');
    expect([message.from, message.to]).toEqual(['fleet@example.org', ['shop@example.com']]);
    const { parsed } = message;
    expect(parsed.from?.value).toEqual([{ name: 'Fleet office', address: 'fleet@example.org' }]);
    expect(namedIn(message)).toEqual(['shop@example.com']);
    expect(parsed.subject).toBe(`${line.unitNumber}: water pump: replace, due`);
    expect(parsed.text).toContain(
      `- ${line.unitNumber}: water pump: replace, due; due April 6, 2026 or 100,000 mi.`,
    );
    expect(parsed.html).toContain(`<li>${line.unitNumber}: water pump: replace, due;`);
    expect(parsed.messageId).toBe(`<${sent.webhookId}@example.org>`);
    expect(parsed.date?.toISOString()).toBe('2026-04-06T16:00:00.000Z');
    expect(parsed.headers.get('auto-submitted')).toBe('auto-generated');
    expect(parsed.headers.get('content-language')).toBe('en');
    expect(parsed.html).toContain('<html lang="en">');
    expect(target.secret).toBeNull();
    expect(await attempts(sent.id)).toEqual([
      expect.objectContaining({
        ...{ number: 1, httpStatus: null, smtpStatus: 250, error: null },
        answer: '250 2.0.0 taken as 42',
      }),
    ]);
  });

  it('say that a line is due at once, and why', async () => {
    const { id } = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-114' })).body;
    const reading = { kind: 'combustion-gas-test', takenAt: AT, positive: true };
    expect((await fleet.mechanic.post(`/v1/vehicles/${id}/readings`, reading)).status).toBe(201);
    const mails = (): ReceivedMail[] =>
      mail.received.filter(({ parsed }) => parsed.subject === 'R-114: head gasket: replace, due at once');
    await until(() => mails().length === 1);
    // Besides, the failed reading itself; what is still on its way would reach the next test.
    await mail.untilReceived(2);
    expect(mails()[0]?.parsed.text).toContain(
      '- R-114: head gasket: replace, due at once; due April 6, 2026. Why: Combustion gas is in the coolant: park the vehicle.',
    );
  });

  it('say first that a vehicle was released with a failed reading, and what to do', async () => {
    const vehicle = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-114' })).body;
    const { body } = await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId: vehicle.id, performedAt: AT, releasedForService: 'yes' },
      readings: [{ kind: 'belt-check', ribsSeated: true, wearGauge: 'worn' }],
    });
    expect(body.warning.text).toMatch(/^Released with a failed belt check\. /);
    const sent = await mail.untilReceived(2);
    const told = sent.find(({ parsed }) => parsed.subject?.includes('Released'));
    expect(told?.parsed.subject).toBe(`R-114: ${body.warning.text}`);
    expect(told?.parsed.text?.startsWith(`Keep R-114 parked\n- ${body.warning.text}\n`)).toBe(true);
    const line = sent.find(({ parsed }) => parsed.subject?.includes('drive belt'));
    expect(line?.parsed.text).toContain('The vehicle is released with open safety findings');
  });

  it('tell of a failed reading in the language of the target, which need not be that of the fleet', async () => {
    const spanish = { kind: 'email', address: 'taller@example.com', language: 'es' };
    expect((await fleet.manager.post('/v1/reminder-targets', spanish)).status).toBe(201);
    const { id } = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-114' })).body;
    const { status } = await fleet.mechanic.post(`/v1/vehicles/${id}/readings`, {
      ...{ kind: 'hold-test', takenAt: AT, method: 'pressure', minutes: 10, engineCold: true },
      ...{ start: { value: 15, unit: 'psi' }, end: { value: 12, unit: 'psi' } },
    });
    expect(status).toBe(201);
    const ofReading = ({ parsed }: ReceivedMail): boolean => /^(Failed|No pasó): /.test(parsed.subject ?? '');
    const told = (address: string): ReceivedMail | undefined =>
      mail.received.find((one) => one.to.includes(address) && ofReading(one));
    await until(() => ['shop@example.com', 'taller@example.com'].every((address) => told(address)));
    // What is still on its way would reach the next test.
    await untilWorkerIsIdle(service);
    const [english, inSpanish] = [told('shop@example.com'), told('taller@example.com')];
    expect(english?.parsed.headers.get('content-language')).toBe('en');
    expect(english?.parsed.text).toContain('It lost 3 psi in 10 minutes. ');
    expect(inSpanish?.parsed.headers.get('content-language')).toBe('es');
    expect(inSpanish?.parsed.html).toContain('<html lang="es">');
    expect(inSpanish?.parsed.subject).toBe('No pasó: R-114, prueba de hermeticidad');
    // 16:00 UTC is ten in the morning in Denver.
    expect(inSpanish?.parsed.text).toMatch(
      /^R-114: prueba de hermeticidad, 6 de abril de 2026,? a las 10:00\sa\.\s?m\.\n- Perdió 3 psi en 10 minutos\./,
    );
    expect(inSpanish?.parsed.text).not.toMatch(/\b(the|and|lost|test)\b/i);
  });

  it.each([
    ['takes no mail for that address now', { refuseRecipient: '450 mailbox busy' }, 450],
    ['takes no message now', { refuseMessage: '451 local error in processing' }, 451],
  ])('are sent again as the same message when the server %s', async (_what, refusal, code) => {
    await seedDueLine(service, fleet.fleetId, DATES);
    Object.assign(mail, refusal);
    await sweep();
    const [first] = await untilAttempted(1);
    expect(first).toMatchObject({
      smtpStatus: code,
      httpStatus: null,
      error: expect.objectContaining({ code: 'attempt-mail-server-answered' }),
    });
    await untilStatus('waiting');
    Object.assign(mail, { refuseRecipient: null, refuseMessage: null });
    service.clock.moveTo(new Date(service.clock.now().getTime() + 15_000));
    await service.app.get(FleetSchedule).takeUpLostWork();
    const sent = await untilStatus('sent');
    const [message] = (await mail.untilReceived(1)) as [ReceivedMail];
    expect(message.parsed.messageId).toBe(`<${sent.webhookId}@example.org>`);
    expect(message.parsed.date?.toISOString()).toBe('2026-04-06T16:00:00.000Z');
  });

  it.each([
    ['knows no such address', { refuseRecipient: '550 no such user here' }, 550],
    ['will not have the message', { refuseMessage: '554 refused as unwanted' }, 554],
  ])('are undelivered at once when the server %s, and can be resent', async (_what, refusal, code) => {
    await seedDueLine(service, fleet.fleetId, DATES);
    Object.assign(mail, refusal);
    await sweep();
    const given = await untilStatus('undelivered');
    expect(await attempts(given.id)).toEqual([
      expect.objectContaining({ smtpStatus: code, answer: expect.stringContaining(String(code)) }),
    ]);
    // The address may be put right: the target is left on.
    expect((await fleet.manager.get(`/v1/reminder-targets/${target.id}`)).body.enabled).toBe(true);
    Object.assign(mail, { refuseRecipient: null, refuseMessage: null });
    expect((await fleet.manager.post(`/v1/reminders/${given.id}/resend`)).status).toBe(200);
    await untilStatus('sent');
    expect(mail.received).toHaveLength(1);
  });

  it('take no header and no markup from typed text', async () => {
    const line = await seedDueLine(service, fleet.fleetId, DATES);
    const typed = 'X\r\nBcc: thief@example.net\r\n\r\n<img src=x> \u2028& Übung';
    await service.database.admin.query('update due_lines set unit_number = $2 where id = $1', [
      line.id,
      typed,
    ]);
    await sweep();
    const [message] = (await mail.untilReceived(1)) as [ReceivedMail];
    expect(message.to).toEqual(['shop@example.com']);
    expect(namedIn(message)).toEqual(['shop@example.com']);
    expect(message.raw.split('\r\n\r\n')[0]).not.toMatch(/^Bcc:/im);
    expect(message.parsed.headers.has('bcc')).toBe(false);
    expect(message.parsed.subject).toContain('X Bcc: thief@example.net <img src=x> & Übung');
    expect(message.parsed.html).toContain('&lt;img src=x&gt; &amp; Übung');
    expect(message.parsed.html).not.toContain('<img');
  });

  it('are not sent to anything but a single address', async () => {
    for (const address of [
      'shop',
      'a@example.com, b@example.com',
      'a@example.com\r\nBcc: b@example.com',
      'Shop <shop@example.com>',
      'shop@127.0.0.1',
      'https://example.com/hook',
      '"a\nb"@example.com',
      '"\r\nBcc: x@example.com"@example.com',
      '"a\tb"@example.com',
      '"a\u007fb"@example.com',
      '"a\u0000b"@example.com',
      'a\u2028b@example.com',
      // Read from right to left, or not seen at all.
      'moc.\u202eelpmaxe@example.com',
      '"a\u2066b"@example.com',
      'a\u200bb@example.com',
      'shop@exam\u00adple.com',
      'shop\u{e0001}@example.com',
      'shop@example.com\n',
    ]) {
      const refused = await fleet.manager.post('/v1/reminder-targets', { kind: 'email', address });
      expect([address, refused.status, refused.body.errors?.[0].pointer]).toEqual([address, 422, '/address']);
    }
    const quoted = { kind: 'email', address: '"a\nb"@example.com' };
    const { errors } = (await fleet.manager.post('/v1/reminder-targets', quoted)).body;
    expect(errors[0].detail).toContain('has a control or invisible character in it, U+000A at character 3;');
    const changed = await fleet.manager.patch(`/v1/reminder-targets/${target.id}`, {
      kind: 'webhook',
      address: 'https://example.org/',
    });
    expect([changed.status, changed.body.errors[0].pointer]).toEqual([422, '/kind']);
    expect((await fleet.manager.post(`/v1/reminder-targets/${target.id}/rotate-secret`, {})).status).toBe(
      409,
    );
  });

  it('can be sent as a test, which reports the result', async () => {
    const path = `/v1/reminder-targets/${target.id}/test`;
    expect((await fleet.manager.post(path)).body).toMatchObject({
      ...{ delivered: true, httpStatus: null, smtpStatus: 250, error: null },
    });
    expect(mail.received[0]?.parsed.subject).toBe('A test of reminders');
    mail.refuseRecipient = '550 no such user here';
    expect((await fleet.manager.post(path)).body).toMatchObject({
      ...{
        delivered: false,
        smtpStatus: 550,
        error: expect.objectContaining({ text: expect.stringContaining('no such user') }),
      },
    });
  });

  it('wait while the mail server is down', async () => {
    await seedDueLine(service, fleet.fleetId, DATES);
    await mail.close();
    await sweep();
    const [first] = await untilAttempted(1);
    expect(first).toMatchObject({
      smtpStatus: null,
      error: expect.objectContaining({
        text: expect.stringMatching(/^nothing takes connections at the address \(.*ECONNREFUSED/),
      }),
    });
    await untilStatus('waiting');
  });
});
