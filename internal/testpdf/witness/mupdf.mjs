// Draws all pages of a PDF file with MuPDF, annotations included.
// Arguments: the file, the folder for page-1.png and so on, the resolution.
import * as fs from "node:fs"
import * as path from "node:path"
import * as mupdf from "mupdf"

const [file, folder, dpi] = process.argv.slice(1)
const document = mupdf.Document.openDocument(fs.readFileSync(file), "application/pdf")
const scale = mupdf.Matrix.scale(dpi / 72, dpi / 72)
for (let i = 0; i < document.countPages(); i++) {
  const image = document.loadPage(i).toPixmap(scale, mupdf.ColorSpace.DeviceRGB, false, true)
  fs.writeFileSync(path.join(folder, `page-${i + 1}.png`), image.asPNG())
}
