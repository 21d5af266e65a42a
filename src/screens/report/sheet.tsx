/** The report, exactly as printed: a page for the customer, then one for the workshop. */
import type { LoadedTest } from '../../library/library.ts';
import type { ReportContent } from './content.ts';
import { CustomerHalf } from './customer-half.tsx';
import { printSize } from './print-size.ts';
import { WorkshopHalf } from './workshop-half.tsx';

export interface ReportSheetProps {
  content: ReportContent;
  loaded: LoadedTest;
  by: string;
  /** `undefined`: being computed. `null`: the browser cannot compute it. */
  fingerprint: string | null | undefined;
  madeAt: string;
  /** Full address of the page that checks a report. */
  checkAddress: string;
}

export function ReportSheet(props: ReportSheetProps) {
  return (
    <article class={`sheet ${printSize(props.content)}`}>
      <CustomerHalf {...props} />
      <WorkshopHalf {...props} />
    </article>
  );
}
