"""Web pages that are too deep, too wide, too many or say something else to the parser than to the reader."""

from __future__ import annotations

import base64

from .corpus import FIGURES, trick

TABLE = (
    "<h1>Women's jeans Lagune</h1><table><tr><th>Size<th>8<th>10<th>12<tr><td>Waist (in)<td>28<td>29<td>30"
    "<tr><td>Hip (in)<td>38<td>39<td>40<tr><td>Inseam (in)<td>30<td>30<td>30</table>"
)
PAGE = f"<html><body>{TABLE}</body></html>"


@trick("html", "read", "partly", "nothing", full=100_000, short=100_000)
def nested_deep(count: int) -> bytes:
    return b"<html><body>" + b"<div>" * count + b"Inseam 30 in" + b"</div>" * count


@trick("html", full=20_000, short=5_000)
def tables_in_tables(count: int) -> bytes:
    return b"<html><body>" + b"<table><tr><td>" * count + b"Inseam 30 in"


@trick("html", full=200_000, short=20_000)
def never_closed(count: int) -> bytes:
    return b"<html><body>" + b"<b><i><p>" * count + b"Inseam 30 in"


@trick("html", full=300, short=60)
def spans_of_a_billion(count: int) -> bytes:
    head = b"<table><tr><th colspan=1000000000 rowspan=1000000000>Size</th><th>8</th></tr>"
    return head + b"<tr><td rowspan=65534 colspan=1000>Inseam</td><td>30</td></tr>" * count + b"</table>"


@trick("html", full=50_000, short=500)
def many_tables(count: int) -> bytes:
    return b"<html><body>" + b"<table><tr><td>Inseam</td><td>30</td></tr></table>" * count


@trick("html", full=4_000_000, short=300_000)
def one_long_paragraph(count: int) -> bytes:
    return b"<html><body><p>Inseam " + b"30 1/2 in, " * count


@trick("html", "nothing", "partly", full=300_000, short=30_000)
def many_attributes(count: int) -> bytes:
    return b"<div " + b"".join(b'a%d="x" ' % number for number in range(count)) + b">Inseam 30</div>"


@trick("html", full=300_000, short=3_000)
def many_data_attributes(count: int) -> bytes:
    return b"<div " + b"".join(b'data-a%d="30 in" ' % number for number in range(count)) + b">Inseam</div>"


@trick("html", "read", figures=FIGURES, full=200_000, short=100_000)
def json_nested_deep(count: int) -> bytes:
    script = "[" * count + "]" * count
    return f'<script type="application/ld+json">{script}</script>{PAGE}'.encode()


@trick("html", "read", figures=FIGURES, full=300_000, short=100_000)
def state_of_megabytes(count: int) -> bytes:
    return f'<script>var a={{"notes":[{"1," * count}0]}}</script>{PAGE}'.encode()


@trick("html", "read", figures=FIGURES, full=200_000, short=20_000)
def styles_of_megabytes(count: int) -> bytes:
    return f"<style>{'.a .b > .c:not(.d){display:none} ' * count}</style>{PAGE}".encode()


@trick("html", full=1_000_000, short=100_000)
def a_million_entities(count: int) -> bytes:
    return b"<p>" + b"&frac12;&nbsp;" * count + b"</p>"


@trick("html", "read", figures=FIGURES, full=20_000_000, short=1_000_000)
def blanks_by_the_megabyte(count: int) -> bytes:
    return PAGE.replace("Waist (in)", "Waist" + " " * count + "(in)").encode()


@trick("html", "read", figures=FIGURES, full=200_000, short=20_000)
def comments_that_do_not_end(count: int) -> bytes:
    return (PAGE + "<!--" * count + "<![CDATA[" * count).encode()


@trick("html", "read", "partly", full=12, short=8, figures=FIGURES)
def frames_in_frames(count: int) -> bytes:
    page = "<p>Inseam 30 in</p>"
    for _ in range(count):
        page = f'<iframe srcdoc="{page.replace("&", "&amp;").replace(chr(34), "&quot;")}"></iframe>'
    return f"<html><body>{page}{TABLE}</body></html>".encode()


@trick("html", "read", figures=FIGURES)
def laughs_in_a_doctype(count: int) -> bytes:
    laughs = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 12))
    return f'<!DOCTYPE html [<!ENTITY a0 "ha">{laughs}]>{PAGE.replace("Lagune", "Lagune &a11;")}'.encode()


@trick("html", "partly", says="never fetched", figures=FIGURES)
def calls_home(count: int) -> bytes:
    """Whatever a browser would fetch: nothing is fetched, the table is read."""
    calls = (
        '<base href="file:///etc/"><link rel=stylesheet href="http://127.0.0.1:9/a.css"><img src="file:///etc/passwd">'
        '<iframe src="file:///etc/passwd"></iframe><script src="http://127.0.0.1:9/"></script>'
        '<meta http-equiv=refresh content="0;url=http://127.0.0.1:9/"><object data="file:///etc/passwd"></object>'
        '<?xml-stylesheet href="file:///etc/passwd"?><style>@import url(http://127.0.0.1:9/);</style>'
    )
    return f"{calls}{PAGE}".encode()


@trick("mhtml", full=100_000, short=3_000)
def mail_of_many_parts(count: int) -> bytes:
    head = b'MIME-Version: 1.0\nContent-Type: multipart/related; boundary="x"\n\n'
    return head + b"--x\nContent-Type: text/html\n\n<p>Inseam 30</p>\n" * count + b"--x--"


@trick("mhtml", full=2_000, short=300)
def mail_in_mail(count: int) -> bytes:
    head = b"MIME-Version: 1.0\n"
    for number in range(count):
        head += b'Content-Type: multipart/related; boundary="b%d"\n\n--b%d\n' % (number, number)
    return head + b"Content-Type: text/html\n\n<p>Inseam 30</p>"


@trick("html", "read", "partly", figures=FIGURES)
def a_picture_of_data(count: int) -> bytes:
    picture = base64.b64encode(bytes(3_000_000)).decode()
    return PAGE.replace("<table>", f'<img src="data:image/png;base64,{picture}"><table>').encode()
