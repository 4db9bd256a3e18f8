REM Threadwright in LibreOffice Calc: user functions for cells.
REM Tools, Macros, Edit Macros: paste this into a module of My Macros, Standard.
REM Then in a cell:
REM   =THREADWRIGHT_LIMIT("M24x1.5-6g"; "pitch_diameter.max"; "mm")
REM   =THREADWRIGHT_READING(B7; "aim"; "mm")
REM   =THREADWRIGHT("job-sheet"; Sheet1.A2:B20; "time.lot.cost")   keys left, values right
REM A refusal comes back as the service's own line, which begins with #ERR.
REM Str and Val are used since CStr and CDbl follow the program's language: 10,5 and 9.026 = 9026.

Option Explicit

Const ADDRESS = "http://127.0.0.1:8000"

REM Any value of any operation. keys: a range of two columns, or words such as "value=42&scale=HRC".
Function THREADWRIGHT(operation As String, keys As Variant, field As String) As Variant
  Dim query As String
  If IsArray(keys) Then query = QueryOf(keys) Else query = keys
  THREADWRIGHT = ValueOf(Fetch(operation, query & "&field=" & field))
End Function

REM A limit of size, such as "pitch_diameter.max" or "major_diameter.min".
Function THREADWRIGHT_LIMIT(callout As String, field As String, Optional unit As Variant) As Variant
  THREADWRIGHT_LIMIT = ValueOf(Fetch("thread-limits", ThreadOf(callout, unit) & "&field=limits." & field))
End Function

REM The reading over the best wires or between the best balls: "max", "min" or "aim".
Function THREADWRIGHT_READING(callout As String, which As String, Optional unit As Variant) As Variant
  THREADWRIGHT_READING = ValueOf(Fetch("wire-measurement", ThreadOf(callout, unit) & "&field=reading." & which))
End Function

REM The pitch diameter that a reading over the best wires means.
Function THREADWRIGHT_PITCH_DIAMETER(callout As String, reading As Double, unit As String) As Variant
  THREADWRIGHT_PITCH_DIAMETER = ValueOf(Fetch("wire-measurement", ThreadOf(callout, unit) & _
    "&measured=" & Trim(Str(reading)) & "&field=pitch_diameter"))
End Function

REM Hardness on another scale.
Function THREADWRIGHT_HARDNESS(value As Double, scale As String, wanted As String) As Variant
  THREADWRIGHT_HARDNESS = ValueOf(Fetch("hardness", "value=" & Trim(Str(value)) & _
    "&scale=" & scale & "&to=" & wanted & "&field=value"))
End Function

Private Function ThreadOf(callout As String, Optional unit As Variant) As String
  ThreadOf = "designation=" & Encoded(callout)
  If Not IsMissing(unit) Then ThreadOf = ThreadOf & "&unit=" & unit
End Function

REM A range of two columns as a query; rows without a value are left out.
Private Function QueryOf(cells As Variant) As String
  Dim row As Long, first As Long, query As String, part As String
  first = LBound(cells, 2)
  For row = LBound(cells, 1) To UBound(cells, 1)
    If Not IsEmpty(cells(row, first + 1)) And cells(row, first + 1) <> "" Then
      If VarType(cells(row, first + 1)) = 8 Then
        part = Encoded(cells(row, first + 1))
      Else
        part = Trim(Str(cells(row, first + 1)))
      End If
      If query <> "" Then query = query & "&"
      query = query & cells(row, first) & "=" & part
    End If
  Next row
  QueryOf = query
End Function

Private Function Fetch(operation As String, query As String) As String
  Dim service As Object
  service = createUnoService("com.sun.star.sheet.FunctionAccess")
  On Error GoTo NoAnswer
  Fetch = service.callFunction("WEBSERVICE", _
    Array(BaseAddress() & "/v1/" & operation & "?" & query & "&on_error=text"))
  Exit Function
NoAnswer:
  Fetch = "#ERR no answer from " & BaseAddress()
End Function

REM The cell named base_address of this document, or the constant above.
Private Function BaseAddress() As String
  Dim names As Object
  BaseAddress = ADDRESS
  On Error Resume Next
  names = ThisComponent.NamedRanges
  If names.hasByName("base_address") Then
    BaseAddress = names.getByName("base_address").ReferredCells.getCellByPosition(0, 0).String
    If Right(BaseAddress, 1) = "/" Then BaseAddress = Left(BaseAddress, Len(BaseAddress) - 1)
  End If
End Function

Private Function Encoded(word As Variant) As String
  Dim service As Object
  service = createUnoService("com.sun.star.sheet.FunctionAccess")
  Encoded = service.callFunction("ENCODEURL", Array(word))
End Function

REM A number where the whole text is one; Val alone would make 0 of an error.
Private Function ValueOf(answer As String) As Variant
  Dim place As Long
  ValueOf = answer
  If answer = "" Then Exit Function
  For place = 1 To Len(answer)
    If InStr("0123456789.-", Mid(answer, place, 1)) = 0 Then Exit Function
  Next place
  ValueOf = Val(answer)
End Function
