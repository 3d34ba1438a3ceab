// Draws all pages of a PDF file with MuPDF, annotations included, as page-1.png
// and so on.
import * as fs from "node:fs"
import * as path from "node:path"
import * as mupdf from "mupdf"

async function draw(file, folder, dpi) {
  const document = mupdf.Document.openDocument(fs.readFileSync(file), "application/pdf")
  try {
    const scale = mupdf.Matrix.scale(dpi / 72, dpi / 72)
    for (let i = 0; i < document.countPages(); i++) {
      const page = document.loadPage(i)
      const image = page.toPixmap(scale, mupdf.ColorSpace.DeviceRGB, false, true)
      fs.writeFileSync(path.join(folder, `page-${i + 1}.png`), image.asPNG())
      image.destroy()
      page.destroy()
    }
  } finally {
    document.destroy()
  }
}
