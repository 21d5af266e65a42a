import type { Picture } from './picture.ts';

/** Head of a raw video file: size in pixels and frames per second. */
interface Y4mHead {
  readonly width: number;
  readonly height: number;
  readonly frameHz: number;
}

/** Result of a chunk: frames completed by it, or why the file cannot be read. */
type Y4mOutcome =
  | { readonly ok: true; readonly head: Y4mHead | null; readonly frames: readonly Picture[] }
  | { readonly ok: false; readonly detail: string };

/** Reads a YUV4MPEG2 file chunk by chunk, holding no more than one frame and the chunk. */
export interface Y4mStream {
  push(chunk: Uint8Array): Y4mOutcome;
  /** Whether the bytes so far end with a whole frame. */
  readonly isWhole: boolean;
}

const MOST_HEAD_BYTES = 1024;
const MOST_PIXELS = 4096 * 4096;

/** Starts a stream. Frames are 4:2:0 with 8 bits; other layouts are refused with a sentence. */
export function createY4mStream(): Y4mStream {
  let head: Y4mHead | null = null;
  let line: number[] | null = [];
  let frame: Uint8Array | null = null;
  let filled = 0;
  let problem: string | null = null;

  const endLine = (bytes: readonly number[]): string | null => {
    const text = String.fromCharCode(...bytes);
    if (head === null) {
      const read = readHead(text);
      if (typeof read === 'string') return read;
      head = read;
      return null;
    }
    if (!/^FRAME( |$)/.test(text)) return 'a frame does not begin where it should; the file is damaged.';
    frame = new Uint8Array(sizeOf(head));
    filled = 0;
    line = null;
    return null;
  };

  return {
    get isWhole() {
      return head !== null && frame === null && (line === null || line.length === 0);
    },
    push(chunk) {
      const frames: Picture[] = [];
      for (let at = 0; at < chunk.length && problem === null; ) {
        if (line !== null) {
          const byte = chunk[at++]!;
          if (byte === 10) {
            const bytes = line;
            line = [];
            problem = endLine(bytes);
          } else if (line.push(byte) > MOST_HEAD_BYTES) problem = NOT_Y4M;
          else if (head === null && line.length === 9 && !startsAsY4m(line)) problem = NOT_Y4M;
          continue;
        }
        const part = chunk.subarray(at, at + frame!.length - filled);
        frame!.set(part, filled);
        filled += part.length;
        at += part.length;
        if (filled < frame!.length) continue;
        frames.push(pictureOf(frame!, head!));
        frame = null;
        line = [];
      }
      return problem === null ? { ok: true, head, frames } : { ok: false, detail: problem };
    },
  };
}

const NOT_Y4M =
  'this is not a YUV4MPEG2 file; convert the clip with: ffmpeg -i CLIP -pix_fmt yuv420p CLIP.y4m';

const startsAsY4m = (bytes: readonly number[]): boolean => String.fromCharCode(...bytes) === 'YUV4MPEG2';

function readHead(text: string): Y4mHead | string {
  const [magic, ...words] = text.split(' ');
  if (magic !== 'YUV4MPEG2') return NOT_Y4M;
  const word = (letter: string) => words.find((one) => one.startsWith(letter))?.slice(1);
  const [width, height] = [Number(word('W')), Number(word('H'))];
  if (!(Number.isInteger(width) && Number.isInteger(height) && width >= 16 && height >= 16)) {
    return 'its head has no width and height.';
  }
  if (width * height > MOST_PIXELS) return `frames of ${width} x ${height} pixels are too large.`;
  // Interlaced fields show two times in one picture.
  const interlace = word('I') ?? 'p';
  if (/^[tbm]$/.test(interlace)) return 'it is interlaced; convert it with: ffmpeg -vf yadif';
  const colour = word('C') ?? '420';
  if (!/^420(jpeg|mpeg2|paldv)?$/.test(colour)) {
    return `its layout is C${colour}; convert it with: ffmpeg -pix_fmt yuv420p`;
  }
  const rate = /^(\d+):(\d+)$/.exec(word('F') ?? '');
  const frameHz = rate ? Number(rate[1]) / Number(rate[2]) : Number.NaN;
  if (!(frameHz > 0 && frameHz <= 1000)) return 'its head has no frame rate.';
  return { width, height, frameHz };
}

const chromaSize = ({ width, height }: Y4mHead): number => ((width + 1) >> 1) * ((height + 1) >> 1);

const sizeOf = (head: Y4mHead): number => head.width * head.height + 2 * chromaSize(head);

function pictureOf(bytes: Uint8Array, head: Y4mHead): Picture {
  const { width, height } = head;
  const lumaSize = width * height;
  const cr = bytes.subarray(lumaSize + chromaSize(head));
  return { width, height, luma: bytes.subarray(0, lumaSize), cr };
}
