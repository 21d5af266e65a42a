/** Whether this browser can share files like these. */
export const canShareFile = (name: string): boolean => {
  const { canShare } = navigator as Partial<Navigator>;
  return canShare?.call(navigator, { files: [textFile('', name)] }) === true;
};

const textFile = (content: Blob | string, name: string): File =>
  new File([content], name, { type: 'text/plain' });

/**
 * Opens the share sheet with a text file. `refused`: the browser cannot, or no longer takes the press for a gesture;
 * the caller downloads the file. Never throws.
 */
export async function shareFile(
  content: Blob | string,
  name: string,
): Promise<'shared' | 'cancelled' | 'refused'> {
  if (!canShareFile(name)) return 'refused';
  try {
    await navigator.share({ files: [textFile(content, name)] });
    return 'shared';
  } catch (cause) {
    return cause instanceof DOMException && cause.name === 'AbortError' ? 'cancelled' : 'refused';
  }
}
