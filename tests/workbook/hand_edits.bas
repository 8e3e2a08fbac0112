' A hand in an open book: does the steps of a file, one a line, its words parted by tabs.
'
'   open URL                       a book, in a window that nobody sees
'   watch KEY RANGE KEY RANGE ...  what `read` tells: held as objects, which go where their cells go
'   do COMMAND NAME KIND VALUE ... a command of the program with its arguments: KIND text, number or choice
'   see LABEL RANGE                tells what stands in a range
'   read LABEL                     tells what stands in all that is watched
'   mark                           remembers how much was done by now
'   undo                           takes back what was done after that, undo all: everything
'   save URL                       as a workbook
'
' What is told goes to a second file, a line of JSON each. An error ends it, and is told: a macro that fails would ask
' somebody what to do, and wait.

Dim book As Object
Dim told As Object
Dim keys() As String
Dim places() As String
Dim held() As Object
Dim marked As Integer

Sub Play(steps As String, answers As String)
 Dim files As Object, lines As Object, words() As String
 On Error GoTo Failed
 files = CreateUnoService("com.sun.star.ucb.SimpleFileAccess")
 lines = CreateUnoService("com.sun.star.io.TextInputStream")
 lines.setInputStream(files.openFileRead(steps))
 lines.setEncoding("UTF-8")
 told = CreateUnoService("com.sun.star.io.TextOutputStream")
 told.setOutputStream(files.openFileWrite(answers))
 told.setEncoding("UTF-8")
 Do While Not lines.isEOF()
  words = Split(lines.readLine(), Chr(9))
  Select Case words(0)
   Case "open" : OpenBook words(1)
   Case "watch" : Watch words
   Case "do" : Command words
   Case "see" : Tell words(1), JsonOf(RangeAt(words(2)))
   Case "read" : Tell words(1), AllHeld()
   Case "mark" : marked = Depth()
   Case "undo" : TakeBack marked
   Case "undo all" : TakeBack 0
   Case "save" : Save words(1)
  End Select
 Loop
 book.close(True)
 told.closeOutput()
 Exit Sub
Failed:
 Tell "failed", Quoted(Error() & ", line " & Erl() & " of the macro, at the step: " & Join(words, " "))
 told.closeOutput()
 book.close(True)
End Sub

Sub OpenBook(source As String)
 Dim hidden(0) As New com.sun.star.beans.PropertyValue
 hidden(0).Name = "Hidden" : hidden(0).Value = True
 book = StarDesktop.loadComponentFromURL(source, "_blank", 0, hidden())
End Sub

Sub Watch(words() As String)
 Dim at As Integer, last As Integer
 last = UBound(words) \ 2 - 1
 ReDim keys(last) As String
 ReDim places(last) As String
 For at = 0 To last
  keys(at) = words(1 + 2 * at)
  places(at) = words(2 + 2 * at)
 Next
 TakeHold
End Sub

Sub TakeHold
 Dim at As Integer
 ReDim held(UBound(places)) As Object
 For at = 0 To UBound(places)
  held(at) = RangeAt(places(at))
 Next
End Sub

Function RangeAt(place As String) As Object
 Dim parts() As String
 parts = Split(place, "!")
 RangeAt = book.Sheets.getByName(parts(0)).getCellRangeByName(parts(1))
End Function

Sub Command(words() As String)
 Dim at As Integer, last As Integer
 Dim arguments() As New com.sun.star.beans.PropertyValue
 last = (UBound(words) - 1) \ 3 - 1
 If last >= 0 Then ReDim arguments(last) As New com.sun.star.beans.PropertyValue
 For at = 0 To last
  arguments(at).Name = words(2 + 3 * at)
  Select Case words(3 + 3 * at)
   Case "text" : arguments(at).Value = words(4 + 3 * at)
   Case "number" : arguments(at).Value = CLng(words(4 + 3 * at))
   Case "choice" : arguments(at).Value = (words(4 + 3 * at) = "yes")
  End Select
 Next
 CreateUnoService("com.sun.star.frame.DispatchHelper").executeDispatch( _
  book.CurrentController.Frame, words(1), "", 0, arguments())
End Sub

Function Depth() As Integer
 Depth = UBound(book.UndoManager.getAllUndoActionTitles()) + 1
End Function

Sub TakeBack(floor As Integer)
 Dim once(1) As String
 once(0) = "do" : once(1) = ".uno:Undo"
 Do While Depth() > floor
  Command once
 Loop
 TakeHold
End Sub

Sub Save(target As String)
 Dim filter(0) As New com.sun.star.beans.PropertyValue
 filter(0).Name = "FilterName" : filter(0).Value = "Calc MS Excel 2007 XML"
 book.storeToURL(target, filter())
End Sub

Sub Tell(label As String, json As String)
 told.writeString("{" & Quoted(label) & ": " & json & "}" & Chr(10))
End Sub

Function AllHeld() As String
 Dim parts() As String, at As Integer
 ReDim parts(UBound(held)) As String
 For at = 0 To UBound(held)
  parts(at) = Quoted(keys(at)) & ": " & JsonOf(held(at))
 Next
 AllHeld = "{" & Join(parts, ", ") & "}"
End Function

Function JsonOf(cells As Object) As String
 Dim rows, row, lines() As String, values() As String, down As Integer, across As Integer
 rows = cells.getDataArray()
 ReDim lines(UBound(rows)) As String
 For down = 0 To UBound(rows)
  row = rows(down)
  ReDim values(UBound(row)) As String
  For across = 0 To UBound(row)
   Select Case VarType(row(across))
    Case 8 : values(across) = Quoted(row(across))
    Case 5 : values(across) = Trim(Str(row(across)))
    Case Else : values(across) = "null"
   End Select
  Next
  lines(down) = "[" & Join(values, ", ") & "]"
 Next
 JsonOf = "[" & Join(lines, ", ") & "]"
End Function

Function Quoted(text) As String
 Dim escaped As String
 escaped = Join(Split(Join(Split(text, "\"), "\\"), """"), "\""")
 escaped = Join(Split(escaped, Chr(10)), "\n")
 Quoted = """" & Join(Split(escaped, Chr(9)), "\t") & """"
End Function
