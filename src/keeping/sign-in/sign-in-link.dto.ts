import { ApiProperty } from '@nestjs/swagger';

export class SignInLinkView {
  @ApiProperty({ format: 'uuid' }) id!: string;
  @ApiProperty({ format: 'uuid' }) personId!: string;
  @ApiProperty({ format: 'date-time' }) createdAt!: string;
  @ApiProperty({ format: 'date-time', description: 'It can be used once, until then' }) expiresAt!: string;
  @ApiProperty({
    type: 'string',
    nullable: true,
    description:
      'The address to open on the device that is to be signed in, shown only in this answer. The code is in the fragment, which browsers do not send. Null if the same Idempotency-Key is sent again',
    example: 'https://weephole.example.org/sign-in#whl_…',
  })
  url!: string | null;
  @ApiProperty({ type: 'string', nullable: true, description: 'The address as a QR code, an SVG picture' })
  qrCode!: string | null;
}
