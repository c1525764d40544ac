import { Controller, Get, Header } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { Roles } from '../../platform/access/access.js';
import { ROLES } from '../../platform/scope/roles.js';
import { MeView } from './me.dto.js';
import { MeService } from './me.service.js';

@ApiTags('people')
@Controller('v1/me')
export class MeController {
  constructor(private readonly me: MeService) {}

  @Get()
  @Roles(...ROLES)
  @Header('cache-control', 'no-store')
  @ApiOperation({ summary: 'Say who the request is from, and what it may see' })
  @ApiOkResponse({ type: MeView })
  get(): Promise<MeView> {
    return this.me.get();
  }
}
