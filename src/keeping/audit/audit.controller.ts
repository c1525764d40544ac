import { Controller, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ManagerWork } from '../../platform/access/access.js';
import type { Page } from '../../platform/pages/pages.js';
import { ListRoute } from '../../platform/resources/resource-routes.js';
import { type AuditEntryView, AuditPage, AuditQuery } from './audit.dto.js';
import { AuditService } from './audit.service.js';

@ApiTags('audit')
@Controller('v1/audit')
export class AuditController {
  constructor(private readonly audit: AuditService) {}

  @ListRoute('List who changed what, when, the newest first', AuditPage)
  @ManagerWork()
  list(@Query() query: AuditQuery): Promise<Page<AuditEntryView>> {
    return this.audit.list(query);
  }
}
